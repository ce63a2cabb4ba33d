"""Short forms over the board: a few fields, filled in as far as they can be; what is refused is said in the form."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, Label

from engine.acts.action import Refused
from engine.journal.store import JournalError
from engine.reading.frozen import dataclass
from tui.farm_app import Tried
from tui.forms.days_in_words import put_in_words
from tui.forms.refused_field import Values, at_fault, show_refusal
from tui.own_faults import Netted

if TYPE_CHECKING:
    from tui.farm_app import FarmApp

MANY = 6
"""With more fields than these the lines stand closer, as they do on a screen that they would not fit; the rest is
scrolled."""


@dataclass(frozen=True, slots=True)
class Field:
    """One line of a form; enter does not save while it is empty, where it is `asked`."""

    name: str
    label: str
    value: str = ""
    asked: bool = False
    day: bool = False
    """Whether it takes a day."""


class FormScreen(Netted, ModalScreen[bool]):
    """Fields to fill in; tab goes on, enter saves, or goes on while more is asked; escape leaves all as it was."""

    app: FarmApp
    CSS_PATH = "forms.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave"),
        Binding("down", "app.focus_next", show=False),
        Binding("up", "app.focus_previous", show=False),
        Binding("ctrl+s", "save", "save", show=False),
    ]

    def __init__(
        self,
        title: str,
        fields: Sequence[Field],
        save: Callable[[Values], None],
        told: str | Callable[[Values], str] = "",
        in_turn: bool = False,
    ) -> None:
        """`told` stands over the fields; where it is made from their values, it follows what is typed.

        With `in_turn`, as for something new, Enter goes through all the fields before it saves.
        """
        super().__init__()
        self._in_turn = in_turn
        self._title, self._fields, self._save, self._told = title, fields, save, told

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="form", classes="long" if len(self._fields) > MANY else None, can_focus=False):
            yield Label(Text(self._title), classes="title")
            if self._told:
                yield Label(
                    self._tells(Values({field.name: field.value for field in self._fields})), id="told", classes="hint"
                )
            for field in self._fields:
                yield Label(Text(field.label))
                yield Input(field.value, id=field.name, select_on_focus=True, compact=True)
            yield Label("", classes="refusal")
            yield Label(self._keys(), classes="hint")

    def on_mount(self) -> None:
        self.call_after_refresh(self._fit)

    def _fit(self) -> None:
        """Set the lines closer where they do not fit; the first field comes into view, with what stands over it."""
        form = self.query_one("#form")
        form.set_class(form.has_class("long") or form.max_scroll_y > 0, "long")
        self.call_after_refresh(form.scroll_home, animate=False)

    def _keys(self) -> str:
        """Enter saves at once where all that is asked is filled in; the other fields are there to be changed."""
        if len(self._fields) == 1:
            return "Enter save    Esc cancel"
        asked = self._in_turn or any(field.asked and not field.value for field in self._fields[1:])
        return f"Enter {'next/save' if asked else 'save'}    Tab next    Esc cancel"

    def _tells(self, values: Values) -> Text:
        return Text(self._told(values) if callable(self._told) else self._told)

    def _values(self) -> Values:
        return Values({f.name: self.query_one(f"#{f.name}", Input).value.strip() for f in self._fields})

    def on_input_changed(self) -> None:
        if callable(self._told):
            self.query_one("#told", Label).update(self._tells(self._values()))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Save; while something that is asked for below is empty, on to the next field, as Tab goes."""
        at = [field.name for field in self._fields].index(event.input.id or "")
        values = self._values()
        after = self._fields[at + 1 :]
        if after and (self._in_turn or any(field.asked and not values[field.name] for field in after)):
            self.query_one(f"#{self._fields[at + 1].name}", Input).focus()
        else:
            self.action_save()

    def action_save(self) -> None:
        days = [field.name for field in self._fields if field.day]
        values = self._values()
        self.app.ruled = False
        try:
            if put_in_words(self, days, self.app.house.farm.units):
                return
            self._save(values)
        except (Refused, JournalError) as refusal:
            first = {field.name: field.value for field in self._fields}
            asked = [field.name for field in self._fields if field.asked]
            field = at_fault(self, str(refusal), first, values, self.app.ruled, self._refused, asked)
            show_refusal(self, refusal, field)
            return
        self.dismiss(True)

    def _refused(self, values: Values) -> str:
        """Why these would be refused, or nothing; nothing is written."""
        self.app.trying = True
        try:
            self._save(values)
        except Tried:
            return ""
        except (Refused, JournalError) as refusal:
            return str(refusal)
        finally:
            self.app.trying = False
        return ""

    def action_leave(self) -> None:
        self.dismiss(False)
