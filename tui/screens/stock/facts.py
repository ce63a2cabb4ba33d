"""The panel's text for a lot: what it is, who waits for it, what is coming of it, and its ledger, the latest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import TYPE_CHECKING

from rich.text import Text

from engine.acts.ledger import say_holdings
from engine.needs.keeping import say_keeps
from engine.views.trace import LedgerLine, ledger, trace
from tui.cells import day, journal_day
from tui.farmhouse import Farmhouse
from tui.paper.stock import say_need
from tui.paper.trace import trace_sheet

if TYPE_CHECKING:
    from engine.needs.allotment import Allotment, StockLine
    from engine.records.stock import Movement
    from engine.schedule.plan import Plan
    from tui.screens.stock.rows import Row

MOST_LINES = 200


def facts_of(
    row: Row | None, house: Farmhouse, view: Allotment, moves: Callable[[str], list[Movement]], words: str
) -> Text:
    """What is known of the line under the cursor; `moves` gives a lot's movements, `words` were looked for."""
    if row is None:
        if words:
            return Text("No lot matches; Esc shows all.")
        return Text("Nothing is on hand. r receives what comes in; a batch comes in with its first step done.")
    if row.line is None:
        return Text(row.text)
    line = row.line
    form = f"{line.form} {line.grade}".strip()
    text = Text(f"{line.lot} · {line.name} · {form} · {line.place}", style="bold")
    for told in _lines(line, house, view, moves(line.lot)):
        text.append(f"\n{told}", style="bold not italic" if told.startswith("!") else "not bold")
    return text


def _lines(line: StockLine, house: Farmhouse, view: Allotment, moves: list[Movement]) -> list[str]:
    told = []
    if line.doubtful:
        told.append("! name not certain: it is promised to nobody as a cultivar, nor sold as one")
    if line.keeps is not None:
        told.append(f"! {say_keeps(line.form, line.place, line.keeps, view.on)}")
    if line.coming is not None and line.coming.missed:
        told.append("coming: nothing until its next window is accepted, because a step was missed")
    elif line.coming is not None:
        ready = f", ready {day(line.coming.ready, True)}" if line.coming.ready else ", but no year fits"
        told.append(
            f"coming: {line.coming.likely} likely, {line.coming.sure()} or more nine times in ten, "
            f"as {line.coming.form}{ready}"
        )
    promised = [need for need in view.needs if any(part.is_of(line) for part in need.parts) and line.promised]
    told += [f"promised: {say_need(need)}" for need in promised]
    others = [
        held
        for held in house.records.stock.of(line.lot)
        if (held.form, held.grade, held.place) != (line.form, line.grade, line.place)
    ]
    if others:
        told.append(f"also: {say_holdings(others)}")
    lines = ledger(moves, line.lot)
    told += [_movement(each) for each in reversed(lines[-MOST_LINES:])]
    return told


def _movement(line: LedgerLine) -> str:
    """`2 Mar 27  -4 = 60  lost, mice: liner, nursery beds`, or `opening stock 64: 1 L pot, standing ground`."""
    if line.on == date.min:
        return line.told.replace("opening stock", f"opening stock {line.balance}", 1)
    return f"{journal_day(line.on)}  {f'{line.change:+}' if line.change else '·'} = {line.balance}  {line.told}"


def trace_text(house: Farmhouse, lot: str) -> Text:
    """The page of a lot: where it came from and where it went."""
    records = house.watched()
    return Text(trace_sheet(house.farm, trace(house.farm, records, lot), ledger(records.stock.movements, lot)))


def yields_text(house: Farmhouse, plans: Iterable[Plan], today: date) -> Text:
    """The page of the stock plants: what each plant's gave by year."""
    from engine.views.yields import yield_histories
    from tui.paper.yields import yields_sheet

    records = house.watched()
    return Text(yields_sheet(house.farm, yield_histories(house.farm, records, plans, today), today))
