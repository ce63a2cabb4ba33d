"""The board: the week's lines, by place."""

from __future__ import annotations

from engine.views.week import Week
from tui.lines import Lines
from tui.screens.week.rows import Row, row_text


class Board(Lines[Row]):
    """The week's tasks with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("board")
        self.week: Week | None = None
        self.opened: frozenset[str] = frozenset()

    def show(self, rows: list[Row], week: Week, opened: frozenset[str]) -> None:
        """Draw the lines of a week; the looks of the `opened` places are unfolded."""
        self.week, self.opened = week, opened
        before, at = self.row, self.cursor
        self.put(rows)
        if before is None and self.row is not None and self.row.kind == "send":  # one begins at the work
            first = next((row for row in rows if row.kind in ("task", "looks")), None)
            if first is not None:
                self.go_to(first.key)
                self.scroll_home(animate=False, force=True, immediate=True)
        if before is not None and before.state != "done" and self.row is not None and self.row.state == "done":
            self.go_to(rows[self._free(at, 1)].key)  # what is done goes down; the work goes on where it was

    def paint(self, row: Row, width: int) -> tuple[str, str]:
        assert self.week is not None
        text = row_text(row, self.week, width, row.text in self.opened)
        look = {"task": row.state.replace(" ", "-"), "trouble": "missed", "send": "closing"}.get(row.kind, row.kind)
        return text, look
