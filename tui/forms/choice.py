"""One thing to be chosen from a few, over the screen; what is typed leaves those that it means."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Key
from textual.screen import ModalScreen
from textual.widgets import Label, OptionList
from textual.widgets.option_list import Option

from tui.own_faults import Netted


class ChoiceScreen(Netted, ModalScreen[str | None]):
    """One thing to be chosen from a few; escape chooses nothing."""

    CSS_PATH = "forms.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def __init__(self, title: str, options: Sequence[tuple[str, str]], told: str = "") -> None:
        super().__init__()
        self._title, self._options, self._told = title, options, told
        self._words = ""

    def compose(self) -> ComposeResult:
        with Vertical(id="form"):
            yield Label(Text(self._title), classes="title")
            if self._told:
                yield Label(Text(self._told), classes="hint")
            yield OptionList(*(Option(Text(label), id=key) for key, label in self._options))
            yield Label("", id="typed")
            yield Label("Enter choose    type to find    Esc cancel", classes="hint")

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    def on_key(self, event: Key) -> None:
        """Letters narrow the list, and backspace widens it again."""
        if event.key == "backspace":
            words = self._words[:-1]
        elif event.is_printable and event.character and (self._words or event.character != " "):
            words = self._words + event.character
        else:
            return
        event.stop()
        self._words = words
        found = self._meant()
        listed = self.query_one(OptionList)
        listed.clear_options()
        listed.add_options(Option(Text(label), id=key) for key, label in found)
        listed.highlighted = 0 if found else None
        told = f"▸ {words}" + ("" if found else ": nothing of that name") if words else ""
        self.query_one("#typed", Label).update(Text(told))

    def _meant(self) -> list[tuple[str, str]]:
        """Those whose name begins with what is typed, else that hold it: a name comes first in its label."""
        part = self._words.lower()
        begin = [each for each in self._options if each[1].lower().lstrip().startswith(part)]
        return begin or [each for each in self._options if part in each[1].lower()]

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)

    def action_leave(self) -> None:
        self.dismiss(None)
