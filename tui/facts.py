"""The panel of facts: it wraps its text itself and draws it line by line, so that the cursor can run down a list."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping

from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tui.inks import ink
from tui.lines import BLANK
from tui.own_faults import Netted

_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
TOGETHER = rf"(?<=\d) (?=(?:%|°|(?:h|m|cm|days?|weeks?|{_MONTHS})\b))|(?<={_MONTHS}|\d h) (?=\d\d\b)"
"""The gap within a number with its unit, or a date: no line is broken there."""
HELD = "\ue000"
"""Stands for such a gap while lines are broken."""
GUTTER = 6
"""Cells in which the heads of the parts stand."""
CARE, NOTE = "care", "note"
HEADS = {
    "do": "what to do now", "when": "when, and why then", "for": "whom it is for", "from": "where it comes from",
    "odds": "how likely", "next": "what follows", "done": "what was done", "seen": "what looks and walks found",
    "light": "the sun it has", CARE: "cautions", NOTE: "notes",
}  # fmt: skip
"""The parts of a panel in their order, the same on every screen, and what each tells; a screen has those it needs."""
_FIRST = ("do", "when", "for")
"""After these the first caution stands, where it is seen without scrolling; the others come in their turn."""


def in_parts(title: str, parts: Mapping[str, Iterable[str]], warnings: Iterable[str] = ()) -> Text:
    """The facts of a line: its title, what presses, and its parts in the order of HEADS, none that is empty."""
    assert set(parts) <= set(HEADS), parts
    text = Text(title, style="bold")
    for warning in warnings:
        text.append(f"\n! {warning}", style="bold not italic")
    cautions = [f"! {caution}" for caution in parts.get(CARE, ())]
    others = [(head, parts.get(head, ())) for head in HEADS if head not in (*_FIRST, CARE, NOTE)]
    ordered = [
        *((head, parts.get(head, ())) for head in _FIRST), (CARE, cautions[:1]), *others, (CARE, cautions[1:]),
        (NOTE, parts.get(NOTE, ())),
    ]  # fmt: skip
    before = ""
    for head, lines in ordered:
        style = "italic not bold" if head == CARE else "not bold not italic"
        for line in lines:
            told = "" if head == before else head
            text.append(f"\n{told}\t", style="bold not italic").append(line, style=style)
            before = head
    return text


def _changed(text: Text, how: Callable[[str], str]) -> Text:
    """The text with letters changed, each for one other."""
    found = text.copy()
    found.plain = how(text.plain)
    return found


class Facts(Netted, ScrollView, can_focus=False):
    """The facts of the line under the cursor."""

    def __init__(self) -> None:
        super().__init__(id="panel")
        self._text = Text()
        self._lines: list[Text] = []
        self._width = 0

    @property
    def told(self) -> str:
        """The facts as they were given, each part as `head: line`."""
        lines = self._text.plain.split("\n")
        return "\n".join(line.replace("\t", ": ", 1) if line[:1] != "\t" else line[1:] for line in lines)

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
            kept = _changed(self._text, lambda plain: re.sub(TOGETHER, HELD, plain))
            broken = (line for told in kept.split("\n", allow_blank=True) for line in self._broken(told))
            self._lines = [_changed(line, lambda plain: plain.replace(HELD, " ")) for line in broken]
            self.virtual_size = Size(0, len(self._lines))

    def _broken(self, told: Text) -> list[Text]:
        """A line in as many as it takes; the lines of a part stand beside its head."""
        console, width = self.app.console, self._width
        if "\t" not in told.plain:
            return list(told.wrap(console, width)) or [Text()]
        at = told.plain.index("\t")
        head, lines = told[:at], told[at + 1 :].wrap(console, max(8, width - GUTTER))
        head.stylize(ink(self.app, "head"))
        head.append(" " * (GUTTER - at))
        gutter = Text(" " * GUTTER)
        return [(gutter if n else head) + line for n, line in enumerate(lines)]
