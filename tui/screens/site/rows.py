"""The lines of the site: one mark each, by date."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from engine.protocols.names import matches
from engine.reading.frozen import dataclass
from engine.reading.said import percent
from engine.views.site import SiteMark
from tui.cells import away_cell, counted, day
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines


@dataclass(frozen=True, slots=True)
class MarkRow:
    """One line: a mark at its chance."""

    mark: SiteMark
    again: int = 0
    """How often the mark has come in that year before."""

    @property
    def key(self) -> str:
        return f"{self.name} {self.again}"

    @property
    def name(self) -> str:
        mark = self.mark.mark
        return mark.name if mark.chance is None else f"{mark.name} ({percent(mark.chance)})"

    @property
    def pickable(self) -> bool:
        return True


class MarkList(Lines[MarkRow]):
    """The marks of a year with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("site")
        self.today = date.min

    def show(self, rows: list[MarkRow], today: date) -> None:
        self.today = today
        cells = [self._cells(row) for row in rows]

        def column(name: str, **more: Any) -> Column:
            return Column(name, widest(each[name] for each in cells), **more)

        self.columns = (
            column("state", coloured=True), column("name", gives=4, least=10), column("day", right=True),
            column("away", right=True, gives=3), column("acts", right=True, gives=2), column("set by", gives=1),
        )  # fmt: skip
        self.put(rows)

    def _cells(self, row: MarkRow) -> dict[str, str]:
        mark, acts = row.mark.mark, len(row.mark.resting)
        past = "past" if mark.day and mark.day < self.today else "" if mark.day else "never"
        return {
            "state": "seen" if row.mark.seen else past,
            "name": row.name, "day": f"{mark.day:%a} {day(mark.day)}" if mark.day else "never",
            "away": away_cell(mark.day, self.today), "acts": counted(acts, "task") if acts else "",
            "set by": mark.set_by,
        }  # fmt: skip

    def paint(self, row: MarkRow, width: int) -> tuple[str | Sequence[Part], str]:
        cells = self._cells(row)
        look = "open" if row.mark.seen else "later" if cells["state"] else "open" if row.mark.resting else "coming"
        parts = laid(self.columns, self.wide(width), cells)
        return [*parts, (" " * (width - sum(len(text) for text, _ in parts)), False)], look


def mark_rows(marks: Sequence[SiteMark], words: str) -> list[MarkRow]:
    """The marks that are meant by these words, by name or by an act that rests on them."""
    rows: list[MarkRow] = []
    for mark in marks:
        if matches(words, (mark.mark.name, *(f"{act.step} {act.lot}" for act in mark.resting))):
            again = sum(
                (row.mark.mark.name, row.mark.mark.chance) == (mark.mark.name, mark.mark.chance) for row in rows
            )
            rows.append(MarkRow(mark, again))
    return rows
