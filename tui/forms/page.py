"""A page to read, over the screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.own_faults import Netted


class PageScreen(Netted, ModalScreen[None]):
    """A page to read: a lot's whole chain, or the keys."""

    CSS_PATH = "forms.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,enter,question_mark", "leave", "back")]

    def __init__(self, text: Text, wide: bool = False) -> None:
        super().__init__()
        self._text = text
        self._wide = wide

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="page", classes="wide" if self._wide else ""):
            yield Static(self._text)

    def show(self, text: Text) -> None:
        """Show another text: what was being worked out when the page was opened."""
        self._text = text
        for page in self.query("#page > Static").results(Static):  # none before it is composed
            page.update(text)

    def action_leave(self) -> None:
        self.dismiss(None)


class LotPage(PageScreen):
    """The page of a lot, from which what was recorded of it is mended."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("e", "mend", "correct what was recorded")]

    def __init__(self, text: Text, mend: Callable[[], None]) -> None:
        super().__init__(text)
        self._mend = mend

    def on_mount(self) -> None:
        self.query_one("#page").border_subtitle = "e correct or undo    Esc back"

    def action_mend(self) -> None:
        self.dismiss(None)
        self._mend()
