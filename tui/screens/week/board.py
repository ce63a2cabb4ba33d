"""The board: the week's lines, by place."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from engine.views.week import Week
from tui.columns import Part
from tui.lines import Lines
from tui.screens.week.rows import Row, columns_of, row_parts, shown_on


class Board(Lines[Row]):
    """The week's tasks with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("board")
        self.week: Week | None = None
        self.opened: frozenset[str] = frozenset()

    def show(self, rows: list[Row], week: Week, opened: frozenset[str], order: Hashable = None) -> None:
        """Draw the lines of a week; the looks of the `opened` places are unfolded."""
        self.week, self.opened = week, opened
        self.columns = columns_of(rows, shown_on(week))
        self.put(rows, order)

    def paint(self, row: Row, width: int) -> tuple[str | Sequence[Part], str]:
        assert self.week is not None
        parts = row_parts(row, self.week, self.columns, self.wide(width), width, row.text in self.opened)
        look = {"task": row.state.replace(" ", "-"), "trouble": "missed", "send": "closing"}.get(row.kind, row.kind)
        return parts, look
