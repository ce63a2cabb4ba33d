"""One thing to be chosen from a few, over the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Label, OptionList
from textual.widgets.option_list import Option

from tui.net import Netted


class ChoiceScreen(Netted, ModalScreen[str | None]):
    """One thing to be chosen from a few; escape chooses nothing."""

    CSS_PATH = "forms.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def __init__(self, title: str, options: Sequence[tuple[str, str]], told: str = "") -> None:
        super().__init__()
        self._title, self._options, self._told = title, options, told

    def compose(self) -> ComposeResult:
        with Vertical(id="form"):
            yield Label(Text(self._title), classes="title")
            if self._told:
                yield Label(Text(self._told), classes="hint")
            yield OptionList(*(Option(Text(label), id=key) for key, label in self._options))
            yield Label("Enter choose    Esc cancel", classes="hint")

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)

    def action_leave(self) -> None:
        self.dismiss(None)
