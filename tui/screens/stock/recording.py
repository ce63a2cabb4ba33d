"""What the keys of the stock record: each asks in a short form, writes one entry, and shows what it changes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING, Protocol

from engine.acts import stock as actions
from engine.acts.action import Action
from engine.acts.find_in_stock import Ledger, find_holding, open_ledger
from engine.acts.free_ids import new_lot
from engine.acts.several_at_once import Make as MakeNext
from engine.protocols.forms import so_many
from engine.records.counts_teach import ACCIDENTS, FAILURES
from engine.records.stock import Holding
from tui.forms import marked_lines
from tui.forms.count import ask_count
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import day_of
from tui.typed_numbers import grades_of, whole_of
from tui.typed_words import yes_of
from tui.writing import Make, Recorder, attempt, write

if TYPE_CHECKING:
    from engine.journal.entry import Entry
    from engine.needs.allotment import Allotment, StockLine
    from engine.schedule.nursery import Nursery
    from tui.screens.stock.rows import Row


class StockPicker(Recorder, Protocol):
    """A screen with a cursor on the lots of the stock."""

    view: Allotment | None

    def unmark(self) -> None:
        """No line is marked any longer."""

    @property
    def picked(self) -> Row | None:
        """The line under the cursor."""

    def under_cursor(self, on_hand: bool = True) -> StockLine | None:
        """The lot under the cursor, where something of it is on hand; says so where not."""


def on_ledger(screen: Recorder, on: date, do: Callable[[Ledger], Action]) -> Make:
    """The action, checked against the journal as it stands when it is written."""
    today = screen.app.today
    return lambda n, e: do(open_ledger(n.farm, n.records, e, on, today))


def held_of(ledger: Ledger, line: StockLine) -> Holding:
    """The line's holding as it now is. Raises Refused where nothing of it is there any more."""
    return find_holding(ledger, line.lot, line.form, line.grade, line.place)


def _ask(
    screen: StockPicker,
    line: StockLine,
    title: str,
    fields: Sequence[Field],
    do: Callable[[Ledger, Holding, Values], Action],
    told: str = "",
) -> None:
    """A form over the lot under the cursor; its last field is the day."""

    def save(values: Values) -> None:
        on = day_of(values["on"], screen.app.today)
        write(screen, on_ledger(screen, on, lambda ledger: do(ledger, held_of(ledger, line), values)))

    here = f"{so_many(line.there, line.form, line.grade)} at {line.place}"
    if line.going:
        here += ", going and not counted yet"
    if line.promised:
        here += f", {line.promised} of them promised"
    day = Field("on", "date (or yesterday)", screen.app.today.isoformat(), day=True)
    screen.app.push_screen(
        FormScreen(
            f"{title}: {line.lot} · {line.name}", [*fields, day], save, f"{here}{f'{chr(10)}{told}' if told else ''}"
        )
    )


def _count(values: Values) -> int:
    return whole_of(values["count"], "how many")


def receive(screen: StockPicker) -> None:
    line = screen.picked.line if screen.picked else None
    today = screen.app.today
    fields = [
        Field("lot", "lot", new_lot(screen.app.house.records.stock, mark=screen.app.mark())),
        Field("species", "plant (common or Latin name)", line.species if line else "", True),
        Field("cultivar", "cultivar, if any", line.cultivar if line else ""),
        Field("as_form", "form (liner, bare root, 1 L pot, seed …)", line.form if line else "", True),
        Field("place", "place", line.place if line else "", True),
        Field("count", "how many", asked=True),
        Field("source", "from whom, or where", asked=True),
        Field("on", "date (or yesterday)", today.isoformat(), day=True),
    ]

    def save(values: Values) -> None:
        on, count = day_of(values["on"], today), whole_of(values["count"], "how many")
        came = actions.Incoming(
            values["lot"], values["species"], values["cultivar"], values["as_form"], values["place"], count,
            source=values["source"],
        )  # fmt: skip
        write(screen, on_ledger(screen, on, lambda ledger: actions.receive(ledger, came)))

    screen.app.push_screen(FormScreen("Receive", fields, save))


def move(screen: StockPicker) -> None:
    if (line := screen.under_cursor()) is not None:
        fields = [Field("count", "how many", str(line.there)), Field("to", "to which place", asked=True)]
        _ask(screen, line, "Move", fields, lambda ledger, held, v: actions.move(ledger, held, _count(v), v["to"]))


def move_all(screen: StockPicker, lines: Sequence[StockLine]) -> None:
    """All of what is marked, moved to one place."""
    today = screen.app.today

    def moved(line: StockLine, to: str, on: date) -> tuple[str, MakeNext]:
        def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
            ledger = open_ledger(nursery.farm, nursery.records, entries, on, today)
            held = held_of(ledger, line)
            return actions.move(ledger, held, held.count, to)

        return line.lot, make

    def save(values: Values) -> None:
        on = day_of(values["on"], today)
        marked_lines.record_several(screen, [moved(line, values["to"], on) for line in lines])

    fields = [
        Field("to", "to which place", asked=True),
        Field("on", "date (or yesterday)", today.isoformat(), day=True),
    ]
    names = ", ".join(f"{line.lot} from {line.place}" for line in lines)
    screen.app.push_screen(FormScreen(f"Move all of {len(lines)} lots", fields, save, names))


def pot_up(screen: StockPicker) -> None:
    if (line := screen.under_cursor()) is not None:
        fields = [
            Field("count", "how many", str(line.there)),
            Field("into", "into (1 L pot, 9 cm pot …)", "pot"),
            Field("to", "standing at", line.place),
        ]
        _ask(
            screen, line, "Pot up", fields,
            lambda ledger, held, v: actions.pot_up(ledger, held, _count(v), v["into"], v["to"]),
        )  # fmt: skip


def grade(screen: StockPicker) -> None:
    if (line := screen.under_cursor()) is not None:
        fields = [Field("grades", "so many of each (first=40 second=15)", f"first={line.on_hand}")]
        _ask(
            screen, line, "Grade", fields,
            lambda ledger, held, v: actions.grade(ledger, held, grades_of(v["grades"].replace(",", " ").split())),
            "what is not named stays as it is",
        )  # fmt: skip


def sell(screen: StockPicker) -> None:
    line = screen.under_cursor()
    if line is None or screen.view is None:
        return
    waiting = [need.need for need in screen.view.needs if any(p.is_of(line) and not p.comes for p in need.parts)]
    first = waiting[0] if waiting and line.promised else None
    count = min(line.promised, first.count) if first else line.free
    fields = [
        Field("count", "how many", str(count or line.on_hand)),
        Field("to", "to whom", first.who if first else "", True),
        Field("need", "for which need, if any", first.id if first else ""),
    ]
    if line.doubtful:
        fields.append(Field("unnamed", "name not certain: sold without it? yes or no", "no"))

    def do(ledger: Ledger, held: Holding, v: Values) -> Action:
        unnamed = yes_of(v.get("unnamed", "no"), "sold without its name")
        return actions.sell(ledger, held, _count(v), v["to"], v["need"], unnamed)

    _ask(screen, line, "Sell", fields, do)


def plant_out(screen: StockPicker) -> None:
    if (line := screen.under_cursor()) is not None:
        fields = [Field("count", "how many", str(line.free or line.on_hand)), Field("to", "where", asked=True)]
        _ask(
            screen, line, "Plant out", fields,
            lambda ledger, held, v: actions.sell(ledger, held, _count(v), v["to"], kind="plant_out"),
        )  # fmt: skip


def lose(screen: StockPicker) -> None:
    if (line := screen.under_cursor()) is not None:
        fields = [
            Field("count", "how many are lost", "1"),
            Field("cause", "to what", asked=True),
        ]
        told = f"of the method: {', '.join(FAILURES)}\nof the place: {', '.join(ACCIDENTS)}"
        _ask(
            screen,
            line,
            "Lost",
            fields,
            lambda ledger, held, v: actions.lose(ledger, held, _count(v), v["cause"]),
            told,
        )


def count(screen: StockPicker) -> None:
    if (line := screen.under_cursor()) is not None:
        if line.going:
            ask_count(screen, line.lot, line.name)
            return
        fields = [
            Field("count", "how many are there", str(line.on_hand)),
            Field("reason", "why it differs, if it does"),
        ]
        _ask(screen, line, "Count", fields, lambda ledger, held, v: actions.count(ledger, held, _count(v), v["reason"]))


def doubt(screen: StockPicker) -> None:
    """The name of the lot has become doubtful; where it is, it is sure again."""
    if (line := screen.under_cursor()) is not None:
        do = actions.verify if line.doubtful else actions.doubt
        attempt(screen, on_ledger(screen, screen.app.today, lambda ledger: do(ledger, line.lot)))


RECORD: dict[str, Callable[[StockPicker], None]] = {
    "receive": receive,
    "move": move,
    "pot_up": pot_up,
    "grade": grade,
    "sell": sell,
    "plant_out": plant_out,
    "lose": lose,
    "count": count,
    "doubt": doubt,
}
