"""A page to read, over the screen."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import ClassVar, Final

from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.own_faults import Netted

_INDENT: Final = re.compile(r" *(! )?")


class Hung:
    """A text of which a line that is broken goes on beneath its first word, as on paper."""

    def __init__(self, text: Text) -> None:
        self.text = text

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        for line in self.text.split(allow_blank=True):
            found = _INDENT.match(line.plain)
            indent = found.end() if found and found.end() < options.max_width // 2 else 0
            sign, words = line.divide([indent])
            for n, part in enumerate(words.wrap(console, options.max_width - indent)):
                yield (sign if n == 0 else Text(" " * indent)) + part


class PageScreen(Netted, ModalScreen[None]):
    """A page to read: a lot's whole chain, or the keys."""

    CSS_PATH = "forms.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,enter,question_mark", "leave", "back")]

    def __init__(self, text: Text, wide: bool = False) -> None:
        super().__init__()
        self.text = text
        self._wide = wide

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="page", classes="wide" if self._wide else ""):
            yield Static(Hung(self.text))

    def show(self, text: Text) -> None:
        """Show another text: what was being worked out when the page was opened."""
        self.text = text
        for page in self.query("#page > Static").results(Static):  # none before it is composed
            page.update(Hung(text))

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
