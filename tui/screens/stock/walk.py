"""The stock-take: from place to place, each lot in turn; enter takes the count as it stands, a number sets it.

What is going is counted only by a number: enter passes it by.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Label

from engine.acts import stock as actions
from engine.acts.action import Refused
from engine.journal.store import JournalError
from engine.needs.allotment import StockLine
from tui.cells import counted
from tui.forms.refused_field import show_refusal
from tui.own_faults import Netted
from tui.screens.stock.recording import held_of, on_ledger
from tui.typed_numbers import whole_of
from tui.writing import write

if TYPE_CHECKING:
    from tui.writing import Recorder


def route(lines: list[StockLine], start: str) -> list[StockLine]:
    """The lots in the order in which one walks by them: all of a place, then the next, from `start` on and round."""
    places = sorted({line.place for line in lines})
    k = places.index(start) if start in places else 0
    order = {place: n for n, place in enumerate((*places[k:], *places[:k]))}
    return sorted(lines, key=lambda line: (order[line.place], line.name.lower(), line.lot, line.form, line.grade))


def start_walk(screen: Recorder, lines: list[StockLine], start: str) -> None:
    """Begin at the place `start`, where one of the lots stands there."""
    if lines:
        screen.app.push_screen(WalkScreen(screen, route(lines, start)))
    else:
        screen.tell("nothing is on hand to be counted")


class WalkScreen(Netted, ModalScreen[None]):
    """One lot at a time: where, what, how many by the book; a field for the count."""

    CSS_PATH = "../../forms/forms.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "stop", "stop"),
        Binding("down", "pass_by", show=False),
        Binding("up", "back", show=False),
    ]

    def __init__(self, screen: Recorder, lines: list[StockLine]) -> None:
        super().__init__()
        self._stock, self._route = screen, lines
        self._at = 0
        self._counted: dict[int, int] = {}
        """By how much each lot counted differed from the book."""

    def compose(self) -> ComposeResult:
        with Vertical(id="form"):
            yield Label(classes="title", id="where")
            yield Label(id="what")
            yield Label(id="book")
            yield Input(id="count", select_on_focus=True, compact=True)
            yield Label("", classes="refusal")
            yield Label(id="after", classes="hint")
            yield Label("Enter as recorded    a number: the count    Esc stop", classes="hint")
            yield Label("↓ skip it    ↑ back", classes="hint")

    def on_mount(self) -> None:
        self._show()

    def _show(self) -> None:
        line = self._route[self._at]
        here = [other for other in self._route if other.place == line.place]
        form = f"{line.form} {line.grade}".strip()
        self._say("#where", f"{line.place or 'no place'} · {here.index(line) + 1} of {len(here)} here")
        self._say("#what", f"{line.lot} · {line.name} · {form}")
        unit = f" in {line.unit}" if line.unit else ""
        self._say(
            "#book", f"{line.going} went in: how many are alive?" if line.going else f"on record {line.on_hand}{unit}"
        )
        after = self._route[self._at + 1] if self._at + 1 < len(self._route) else None
        new = f"{after.place}: " if after is not None and after.place != line.place else ""
        self._say("#after", f"then {new}{after.lot} · {after.name}" if after else "this is the last one")
        self._say(".refusal", "")
        field = self.query_one("#count", Input)
        field.value = "" if line.going else str(line.on_hand)  # nothing stands in for a count of what is going
        field.focus()
        field.action_select_all()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        line = self._route[self._at]
        if line.going and not event.value.strip():
            self._on()
            return
        try:
            counted = whole_of(event.value, "the count") if event.value.strip() else line.on_hand
            today = self._stock.app.today
            write(
                self._stock,
                on_ledger(self._stock, today, lambda ledger: actions.count(ledger, held_of(ledger, line), counted)),
            )
        except (Refused, JournalError) as refusal:
            show_refusal(self, refusal)
            return
        self._counted[self._at] = counted - line.there
        self._on()

    def action_pass_by(self) -> None:
        self._on()

    def action_back(self) -> None:
        if self._at:
            self._at -= 1
            self._show()

    def action_stop(self) -> None:
        self.dismiss(None)
        count = len(self._counted)
        found, lost = (sum(max(0, sign * n) for n in self._counted.values()) for sign in (1, -1))
        differ = f": {found} found, {lost} missing" if found or lost else ", all as recorded"
        if count:
            self._stock.tell(f"{counted(count, 'lot')} counted{differ}")

    def _on(self) -> None:
        if self._at + 1 < len(self._route):
            self._at += 1
            self._show()
        else:
            self.action_stop()

    def _say(self, where: str, text: str) -> None:
        self.query_one(where, Label).update(Text(text))
