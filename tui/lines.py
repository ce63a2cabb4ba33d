"""A list that draws its lines itself, so that a key answers at once however long it is."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Hashable, Sequence
from typing import ClassVar, Generic, Protocol, TypeVar

from rich.segment import Segment
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tui.cells import fit
from tui.columns import Column, Part, natural, widths
from tui.inks import line_inks
from tui.own_faults import Netted


class Line(Protocol):
    """What a list shows on one line. `key` stays the same while the thing does, so that the cursor finds it again.

    One that is `markable` can be marked, for what is done to several at once.
    """

    @property
    def key(self) -> str: ...

    @property
    def pickable(self) -> bool:
        """Whether the cursor may rest on it; headings are skipped."""


LOOKS = {
    "place": "place", "missed": "missed", "overdue": "closing", "closing": "closing", "open": "open", "looks": "open",
    "held": "held", "not-yet": "quiet", "coming": "quiet", "later": "quiet", "ahead": "quiet", "done": "quiet",
}  # fmt: skip
"""How a line may look (a heading, what presses, what is open, what waits, what is over), and its ink (tui.inks)."""

WHOLE = ("place", "quiet")
"""Looks that a line has whole: headings, and what cannot be done now."""

MOST_NEW = 200
"""With more new lines than these it is another list: it comes in its own order."""

MARK = "*"
"""Stands in the first cell of a line that is marked."""

BLANK = Strip([])
"""A line on which nothing stands: it is drawn as wide and on the ground that its widget has."""

LineT = TypeVar("LineT", bound=Line)


class Lines(Netted, ScrollView, Generic[LineT], can_focus=True):
    """Lines with a cursor on one of them; a subclass paints them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", "line up", show=False),
        Binding("down", "step(1)", "line down", show=False),
        Binding("pageup", "page(-1)", "page up", show=False),
        Binding("pagedown", "page(1)", "page down", show=False),
        Binding("home", "edge(-1)", "first line", show=False),
        Binding("end", "edge(1)", "last line", show=False),
        Binding("enter", "choose", "open", show=False),
    ]

    class Moved(Message):
        """The cursor came to another line, or the lines were put in anew (`fresh`)."""

        def __init__(self, row: Line | None, fresh: bool = False) -> None:
            super().__init__()
            self.row, self.fresh = row, fresh

    class Chosen(Message):
        """The line under the cursor was opened."""

        def __init__(self, row: Line) -> None:
            super().__init__()
            self.row = row

    def __init__(self, name: str) -> None:
        super().__init__(id=name)
        self.rows: Sequence[LineT] = ()
        self.cursor = 0
        self.marked: set[str] = set()
        """The keys of the lines that are marked, for what is done to several at once."""
        self.columns: Sequence[Column] = ()
        self._wide: tuple[int, dict[str, int]] = (-1, {})
        self._order: Hashable = None

    @abstractmethod
    def paint(self, row: LineT, width: int) -> tuple[str | Sequence[Part], str]:
        """A line, exactly `width` cells, and its look, one of LOOKS: as text that has it whole, or in parts."""

    def text(self, row: LineT, width: int) -> str:
        """A line as plain text, as it is drawn."""
        told, _ = self.paint(row, width)
        return fit(told if isinstance(told, str) else "".join(text for text, _ in told), width)

    @property
    def natural(self) -> int:
        """Cells in which no column is cut."""
        return natural(self.columns)

    def wide(self, width: int) -> dict[str, int]:
        """How wide the columns are in a line of so many cells."""
        if self._wide[0] != width:
            self._wide = width, widths(self.columns, width)
        return self._wide[1]

    @property
    def marked_rows(self) -> list[LineT]:
        """The lines that are marked, from the top."""
        return [row for row in self.rows if row.key in self.marked]

    def mark(self) -> bool:
        """Mark the line under the cursor, or unmark it, and go on to the next. Whether it can be marked."""
        row = self.row
        if row is None or not getattr(row, "markable", False):
            return False
        self.marked ^= {row.key}
        self.refresh()
        if self.cursor < len(self.rows) - 1:
            self.action_step(1)
        self.post_message(self.Moved(self.row))
        return True

    def unmark(self) -> None:
        """No line is marked any longer."""
        self.marked = set()
        self.refresh()

    @property
    def row(self) -> LineT | None:
        """The line under the cursor, where it is one that can be picked."""
        if 0 <= self.cursor < len(self.rows) and self.rows[self.cursor].pickable:
            return self.rows[self.cursor]
        return None

    def put(self, rows: Sequence[LineT], order: Hashable = None) -> None:
        """Draw these lines; the cursor stays on its thing where it is still there, else near where it was.

        While `order`, whatever it is, stays the same, lines that were there keep their places.
        """
        key = self.row.key if self.row else None
        if order is not None and order == self._order:
            rows = _steady(self.rows, rows)
        self.rows, self._order, self._wide = rows, order, (-1, {})
        if self.marked:  # what is not seen is not dealt with
            self.marked &= {row.key for row in rows}
        self.virtual_size = Size(0, len(rows))
        kept = next((n for n, row in enumerate(rows) if row.key == key), None)
        self.cursor = self._free(kept if kept is not None else min(self.cursor, max(0, len(rows) - 1)), 1)
        self._bring_into_view()
        self.refresh()
        self.post_message(self.Moved(self.row, fresh=True))

    def settle(self) -> None:
        """Let the next lines come in their own order."""
        self._order = None

    def go_to(self, key: str) -> None:
        """Put the cursor on the line of that key, where it is shown; what has just been said stays."""
        at = next((n for n, row in enumerate(self.rows) if row.key == key), None)
        if at is not None:
            self.cursor = at
            self._bring_into_view()
            self.refresh()
            self.post_message(self.Moved(self.row, fresh=True))

    def render_line(self, y: int) -> Strip:
        index = y + self.scroll_offset.y
        if index >= len(self.rows):
            return BLANK
        width = self.scrollable_content_region.width
        told, look = self.paint(self.rows[index], width)
        here, style = index == self.cursor, LOOKS[look]
        parts: Sequence[Part] = ((told, True),) if isinstance(told, str) else told
        if self.rows[index].key in self.marked:
            parts = ((MARK, False), (parts[0][0][1:], parts[0][1]), *parts[1:])
        plain = style if style in WHOLE else "plain"
        ink = line_inks(self.app)
        segments = [Segment(text, ink(style if coloured else plain, here)) for text, coloured in parts]
        return Strip(segments).adjust_cell_length(width, ink(plain, here))

    def on_resize(self) -> None:
        self._bring_into_view()

    def on_click(self, event: events.Click) -> None:
        index = event.y + self.scroll_offset.y
        if 0 <= index < len(self.rows) and self.rows[index].pickable:
            if index == self.cursor:
                self.action_choose()
            else:
                self._move(index)

    def action_step(self, by: int) -> None:
        self._move(self._free(self.cursor + by, by))

    def action_page(self, by: int) -> None:
        self._move(self._free(self.cursor + by * max(1, self.size.height - 1), by))

    def action_edge(self, way: int) -> None:
        self._move(self._free(len(self.rows) - 1 if way > 0 else 0, -way))

    def action_choose(self) -> None:
        if self.row is not None:
            self.post_message(self.Chosen(self.row))

    def _move(self, index: int) -> None:
        if index != self.cursor and 0 <= index < len(self.rows):
            before, self.cursor = self.cursor, index
            top = self.scroll_offset.y
            self._bring_into_view()
            if self.scroll_offset.y == top:
                width = self.size.width
                self.refresh(Region(0, before - top, width, 1), Region(0, index - top, width, 1))
            self.post_message(self.Moved(self.row))

    def _free(self, index: int, way: int) -> int:
        """The nearest line that can be acted on, going this way and, at the end, back."""
        last = len(self.rows) - 1
        index = max(0, min(index, last))
        for step in (1 if way >= 0 else -1, -1 if way >= 0 else 1):
            k = index
            while 0 <= k <= last:
                if self.rows[k].pickable:
                    return k
                k += step
        return index

    def _bring_into_view(self) -> None:
        if not self.size.height:  # it is not laid out yet: what is in view is not known
            return
        # A heading is shown with its first line.
        top = self.cursor - 1 if self.cursor and self.rows and not self.rows[self.cursor - 1].pickable else self.cursor
        self.scroll_to_region(Region(0, top, 1, self.cursor - top + 1), animate=False, force=True, immediate=True)


def _steady(before: Sequence[LineT], now: Sequence[LineT]) -> Sequence[LineT]:
    """The lines of now, those that stood under the same heading before in the order that they had then."""
    stood, stands = _under(before), _under(now)
    place = {row.key: n for n, row in enumerate(before) if stands.get(row.key) == stood[row.key]}
    if len(now) - len(place) > MOST_NEW:
        return now
    found = sorted((row for row in now if row.key in place), key=lambda row: place[row.key])
    for n, row in enumerate(now):
        if (
            row.key not in place
        ):  # a new line stands behind the one that it follows, a new heading behind its whole group
            at = 1 + next((k for k, each in enumerate(found) if n and each.key == now[n - 1].key), -1)
            while not row.pickable and at < len(found) and found[at].pickable:
                at += 1
            found.insert(at, row)
    return found


def _under(rows: Sequence[LineT]) -> dict[str, str]:
    """The heading under which each line stands, by key."""
    found, head = {}, ""
    for row in rows:
        head = head if row.pickable else row.key
        found[row.key] = head
    return found
