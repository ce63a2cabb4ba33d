"""The panel of facts: it wraps its text itself and draws it line by line, so that the cursor can run down a list."""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tui.lines import BLANK
from tui.net import Netted


class Facts(Netted, ScrollView, can_focus=False):
    """The facts of the line under the cursor."""

    def __init__(self) -> None:
        super().__init__(id="panel")
        self._text = Text()
        self._lines: list[Text] = []
        self._width = 0

    @property
    def told(self) -> str:
        """The facts as they were given."""
        return self._text.plain

    def show(self, text: Text) -> None:
        """Show these facts from their first line."""
        self._text, self._width = text, 0
        self._wrap()
        self.scroll_home(animate=False, force=True, immediate=True)
        self.refresh()

    def on_resize(self) -> None:
        self._wrap()

    def render_line(self, y: int) -> Strip:
        index = y + self.scroll_offset.y
        if index >= len(self._lines):
            return BLANK
        width = self.scrollable_content_region.width
        line = self._lines[index]
        base = self.rich_style + self.app.console.get_style(line.style or "none")
        segments = [
            Segment(segment.text, base + (segment.style or Style.null()))
            for segment in line.render(self.app.console)
            if segment.text
        ]
        return Strip(segments).adjust_cell_length(width, base)

    def _wrap(self) -> None:
        """Break the text to the width there is; where it then scrolls, the bar takes a column more."""
        width = self.scrollable_content_region.width
        if width and width != self._width:
            self._width = width
            self._lines = list(self._text.wrap(self.app.console, width))
            self.virtual_size = Size(0, len(self._lines))
