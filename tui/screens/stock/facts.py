"""The panel's text for a lot: what it is, who waits for it, what is coming of it, and its ledger, the latest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import TYPE_CHECKING

from rich.text import Text

from engine.acts.find_in_stock import say_holdings
from engine.needs.keeping import say_keeps
from engine.protocols.forms import ends_as
from engine.views.lot_ledger import LedgerLine, ledger
from engine.views.stock import why_none_free
from engine.views.trace import trace
from tui.cells import day, journal_day
from tui.facts import CARE, in_parts
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
    warnings = ["name not certain: it is not promised or sold under a cultivar"] if line.doubtful else []
    warnings += [say_keeps(line.form, line.place, line.keeps, view.on)] if line.keeps is not None else []
    why = why_none_free(line, view.needs)
    parts = _coming(line, why) | {
        "for": [f"none free: {why}"] * bool(why and line.coming is None)
        + [say_need(need) for need in view.needs if line.promised and any(p.is_of(line) for p in need.parts)],
        "done": [_movement(each) for each in reversed(ledger(moves(line.lot), line.lot)[-MOST_LINES:])],
        CARE: house.farm.cautions_on(house.farm.species_of(line.species)),
        "note": _elsewhere(line, house),
    }
    return in_parts(f"{line.lot} · {line.name} · {form} · {line.place}", parts, warnings)


def _coming(line: StockLine, why: str) -> dict[str, Iterable[str]]:
    """When what is coming of a lot is ready, `why` none of it is free before, and how many that may be."""
    coming = line.coming
    if coming is None:
        return {}
    if coming.missed:
        return {"when": [f"nothing is free or coming: {coming.next} missed its window; the next is not accepted yet"]}
    if coming.ready is None:
        return {"when": ["nothing is coming: no year fits"]}
    odds = f"{coming.likely} likely, {coming.sure()} or more nine times in ten"
    when = f"none free yet: {why}" if why else f"ready {day(coming.ready, True)} {ends_as(coming.form)}"
    return {"when": [when], "odds": [odds]}


def _elsewhere(line: StockLine, house: Farmhouse) -> list[str]:
    """What of the lot stands in other places, forms or grades."""
    here = (line.form, line.grade, line.place)
    others = [held for held in house.records.stock.of(line.lot) if (held.form, held.grade, held.place) != here]
    return [f"also {say_holdings(others)}"] if others else []


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
