"""Lines for the grower's own file: a form that ends in them, and the page that shows them and where they belong."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType

from engine.farm.paste import Paste
from tui.forms.form import FormScreen
from tui.forms.page import PageScreen


class LinesForm(FormScreen):
    """A form that shows lines where others save."""

    def _keys(self) -> str:
        return super()._keys().replace("save", "show the lines")


class LinesPage(PageScreen):
    """The lines for the file, each with its place in it; they are copied where the terminal allows it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("c", "copy", "copy the lines")]

    def __init__(self, file: str, lines: Sequence[Paste], effect: Sequence[str]) -> None:
        self._lines = "\n".join(each.text for each in lines)
        text = Text(f"For {file}\n", style="bold")
        for each in lines:
            text.append(f"\n{each.where}:\n", style="italic not bold")
            text.append("".join(f"    {line}\n" for line in each.text.split("\n")), style="not bold")
        for words in effect:
            text.append(f"\n{words}", style="not bold")
        told = "Copied, where the terminal allows it. Paste into the file and save it: the screens take it up at once."
        text.append(f"\n\n{told}", style="not bold")
        super().__init__(text, wide=True)

    def on_mount(self) -> None:
        self.query_one("#page").border_subtitle = "c copy    Esc back"
        self.action_copy()

    def action_copy(self) -> None:
        self.app.copy_to_clipboard(self._lines)
