"""What was recorded of a lot, the latest first: choose an entry and say what is right, or take it back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Label, OptionList
from textual.widgets.option_list import Option

from engine.acts.action import Action, Refused, say_refusal
from engine.acts.correcting import correct, fields_of, redo_one, take_back_one
from engine.acts.record_again import COUNT, DAY, DEGREES, GRADES, PLACES, SHARE
from engine.acts.undoing import say_undone
from engine.journal.entry import Entry
from engine.journal.store import JournalError
from engine.protocols.roles import Role, role_of
from engine.reading.units import US
from engine.records.needs import SURE
from engine.records.values import number
from engine.records.words import said
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day
from engine.views.entries import TAKEN_BACK, EntryLine, entry_lines
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values, show_refusal
from tui.in_a_thread import work_out
from tui.own_faults import Netted
from tui.typed_days import day_of
from tui.typed_numbers import degrees_of, grades_of, in_units, sureness_of, whole_of
from tui.typed_words import instead_of
from tui.writing import Recorder

LOOKED_UP, MENDED = "being looked up …", "working it out again with everything recorded since …"
MOST_SHOWN = 300
"""So many of the latest are listed; `widger entries` has them all."""
WORDS = {
    "there": "how many were alive", "count": "how many", "left": "still to do", "cause": "why some were lost",
    "from": "from whom", "finding": "what was found", "reason": "the reason", "to": "to whom, where, or until when",
    "text": "the note", "days": "for how many days", "species": "plant", "cultivar": "cultivar", "form": "form",
    "grade": "grade", "sure": "how surely, in %", "mark": "what was seen", "temperature_c": "at how many degrees",
    "into": "to which lot", "method": "method", "route": "route", "note": "the note", "planted": "planted in (a year)",
    "rootstock": "rootstock", "came": "when that came", "material": "what is taken of them",
    "state": "how it was found", "place": "place", "to_form": "into which form",
    "grades": "so many of each (first=40 second=15)", "need": "for which need",
    "start": "nothing before", "ready": "ready by", "by": "by when", "who": "for whom",
    "places": "where instead (seed beds=seed frame)",
}  # fmt: skip


def show_entries(screen: Recorder, lot: str) -> None:
    """Open the list of what was recorded of a lot; of everything where none is named."""
    house = screen.app.house
    if not screen.app.is_long() and not entry_lines(house.entries, house.records, lot):
        screen.tell(f"nothing was recorded of {lot} yet" if lot else "nothing was recorded yet")
        return
    screen.app.push_screen(EntriesScreen(screen, lot))


class EntriesScreen(Netted, ModalScreen[None]):
    """The entries, the latest first, with the keys to mend one."""

    CSS_PATH = "forms.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "leave", "leave"),
        Binding("x", "take_back", "undo or redo it"),
    ]

    def __init__(self, screen: Recorder, lot: str) -> None:
        super().__init__()
        self._board, self._lot = screen, lot
        self._lines: dict[str, EntryLine] = {}

    def compose(self) -> ComposeResult:
        with Vertical(id="form", classes="wide"):
            yield Label(Text(f"Recorded of {self._lot}" if self._lot else "All that was recorded"), classes="title")
            yield OptionList()
            yield Label("", classes="refusal")
            yield Label("Enter correct    x undo or redo    Esc back", classes="hint")

    def on_mount(self) -> None:
        self._show()
        self.query_one(OptionList).focus()

    def _show(self) -> None:
        """Find the entries: beside the screen where the journal is long."""
        app, lot = self._board.app, self._lot
        house = app.house

        def find(_: Day) -> tuple[EntryLine, ...]:
            return entry_lines(house.entries, house.records, lot, house.farm.units)[:MOST_SHOWN]

        if app.is_long():
            if not self._lines:
                self._say(LOOKED_UP)
            work_out(self, ("entries", lot), find, self._put)
        else:
            self._put(find(app.day()))

    def _put(self, lines: Sequence[EntryLine]) -> None:
        """Put the entries into the list; the cursor stays where it was."""
        options = self.query_one(OptionList)
        at = options.highlighted
        if not self._lines:
            self._say("" if lines else "nothing was recorded yet")
        self._lines = {line.entry.id: line for line in lines}
        options.clear_options()
        options.add_options([Option(_told(line), id=line.entry.id) for line in lines])
        if lines:
            options.highlighted = min(at or 0, len(lines) - 1)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        line = self._lines[event.option_id or ""]
        if line.state == TAKEN_BACK:
            show_refusal(self, Refused("it was undone", "x redoes it"))
            return
        self.app.push_screen(correct_form(self._board, line.entry, self._mended_beside), self._mended)

    def _mended_beside(self, refusal: Exception | None) -> None:
        """What was mended beside the screen is there now, or was refused."""
        if self in self.app.screen_stack:
            if refusal is None:
                self._mended(True)
            else:
                show_refusal(self, refusal)
        elif refusal is not None:
            self._board.tell(say_refusal(refusal))

    def _mended(self, saved: bool | None) -> None:
        if saved:
            self._show()
            self._say(self._board.said)

    def action_take_back(self) -> None:
        options = self.query_one(OptionList)
        if options.highlighted is None:
            return
        line = self._lines[options.get_option_at_index(options.highlighted).id or ""]
        again, name = line.state == TAKEN_BACK, line.entry.id
        told: list[str] = []

        def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
            action, of = (redo_one if again else take_back_one)(nursery, entries, name)
            told.append(say_undone(of, self._board.app.house.farm.units))
            return action

        def says(_: Entry) -> str:
            return f"{'redone' if again else 'undone'}: {told[-1]}"

        try:
            mend(self._board, make, says, self._mended_beside)
        except (Refused, JournalError) as refusal:
            show_refusal(self, refusal)
            return
        self._mended(True)

    def _say(self, words: str) -> None:
        self.query_one(".refusal", Label).update(Text(words))

    def action_leave(self) -> None:
        self._board.tell(self._board.said)
        self.dismiss(None)


def _told(line: EntryLine) -> Text:
    day = f"{line.entry.on.day:>2} {line.entry.on:%b %y}"
    back = ", undone" if line.state == TAKEN_BACK else ""
    was = f"; was {line.was}" if line.was else ""
    return Text(f"{day}  {line.words}{was}{back}", style="italic" if back else "")


def mend(
    board: Recorder,
    make: Callable[[Nursery, Sequence[Entry]], Action],
    says: Callable[[Entry], str],
    then: Callable[[Exception | None], None],
) -> None:
    """Mend what was recorded by one action, as `mend_all` does."""
    mend_all(board, lambda nursery, entries: [make(nursery, entries)], lambda entries: says(entries[-1]), then)


def mend_all(
    board: Recorder,
    make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]],
    says: Callable[[Sequence[Entry]], str],
    then: Callable[[Exception | None], None],
) -> None:
    """Mend what was recorded, and show what it changes: at once, or beside the screen where the journal is long.

    `says` tells what was done. Raises Refused or JournalError; beside the screen `then` gets it, or None when it is
    done.
    """
    app = board.app
    if not app.is_long() or app.trying:
        entries = app.record_all(make, every=True)
        board.derive()
        board.said = says(entries)
        return

    def done(entries: Sequence[Entry]) -> None:
        board.derive()
        board.said = says(entries)
        then(None)

    app.mend(make, done, then)
    board.said = MENDED


def correct_form(screen: Recorder, entry: Entry, then: Callable[[Exception | None], None]) -> FormScreen:
    """The form for what is right: the day first, for that is what is most often wrong."""
    today, sorts, units = screen.app.today, fields_of(entry), screen.app.house.farm.units
    shown = {key: _shown(entry.data.get(key), sort, units) for key, sort in sorts.items()}
    fields = [Field("on", "date (or yesterday)", entry.on.isoformat(), day=True)]
    fields += [Field(f"of_{key}", _label(entry, key), text, day=sorts[key] == DAY) for key, text in shown.items()]

    def save(values: Values) -> None:
        on = day_of(values["on"], today)
        changes: dict[str, Any] = {}
        for key, sort in sorts.items():
            if (typed := values[f"of_{key}"]) != shown[key]:
                changes[key] = _read(typed, sort, today, _label(entry, key), units)
        after: list[Entry] = []

        def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
            action, mended = correct(nursery, entries, entry.id, today, on, changes)
            after.append(mended)
            return action

        mend(screen, make, lambda _: f"corrected: {said(after[-1], units)}", then)

    told = "what was written stays in the journal, with what is right beside it"
    return FormScreen(f"Correct: {said(entry, units)}", fields, save, told)


def _label(entry: Entry, key: str) -> str:
    role = role_of(str(entry.data.get("step"))) if entry.kind == "done" else None
    seed = role is Role.CLEAN
    if key == "there" and role is not None:
        return f"how many were {role.found}"
    if key == "count" and role is not None:
        if "there" in entry.data:
            return f"how many of those {'you kept' if seed else 'went on'}"
        return "how many were sound" if seed else "how many went in, or were alive"
    return WORDS[key]


def _shown(value: object, sort: str, units: str) -> str:
    if sort in (GRADES, PLACES) and isinstance(value, dict):
        return (" " if sort == GRADES else ", ").join(f"{name}={told}" for name, told in value.items())
    if sort == SHARE:
        return f"{(SURE if value is None else float(str(value))) * 100:g}"
    if sort == DEGREES and units == US and (celsius := number(value)) is not None:
        return f"{in_units(celsius, units):g}"
    return "" if value is None else str(value)


def _read(typed: str, sort: str, today: Any, label: str, units: str) -> Any:
    """What was typed, as an entry holds it; None takes it away. Raises Refused."""
    if not typed:
        return None
    readers: dict[str, Callable[[], Any]] = {
        COUNT: lambda: whole_of(typed, label),
        DAY: lambda: day_of(typed, today).isoformat(),
        GRADES: lambda: grades_of(typed.replace(",", " ").split()),
        SHARE: lambda: sureness_of(typed),
        PLACES: lambda: dict(instead_of(typed)),
        DEGREES: lambda: degrees_of(typed, units),
    }
    return readers.get(sort, lambda: typed)()
