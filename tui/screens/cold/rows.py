"""The lines of the cold store: one lot each, under the names of the columns."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from datetime import date
from typing import Any

from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.cold import ColdLot
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines
from tui.paper.cold import COLUMNS, date_cells, day_cell, phase_cell
from tui.strips.treatment import bar

BAR = 14
"""Cells of a bar, where there is no room for more."""


@dataclass(frozen=True, slots=True)
class ColdRow:
    """One line: a lot, or the names of the columns."""

    key: str
    lot: ColdLot | None = None

    @property
    def pickable(self) -> bool:
        return self.lot is not None

    @property
    def markable(self) -> bool:
        return self.lot is not None and self.lot.begun


def cold_rows(lots: Iterable[ColdLot], words: str) -> list[ColdRow]:
    """The lines, of what is meant by these words."""
    rows = [ColdRow(f"lot {lot.lot.id}", lot) for lot in lots if wanted(lot, words)]
    return [ColdRow("columns"), *rows] if rows else []


def wanted(lot: ColdLot, words: str) -> bool:
    names = (lot.plant, lot.plan.batch.species, lot.place, phase_cell(lot))
    return plain(words) in plain(lot.lot.id) or matches(words, names)


def look_of(lot: ColdLot, today: date) -> str:
    """How pressing a lot is, one of the looks of a line: its words say the same."""
    if lot.lost:
        return "missed"
    if lot.presses(today):
        return "closing"
    return "open" if lot.begun else "coming"


class ColdList(Lines[ColdRow]):
    """The lots with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("cold")
        self.today = date.min

    def show(self, rows: list[ColdRow], today: date, order: Hashable = None) -> None:
        """Draw these lines as things stand on a day."""
        self.today = today
        cells = [self._cells(row.lot) for row in rows if row.lot]

        def column(name: str, **more: Any) -> Column:
            return Column(name, widest((each[name] for each in cells), len(name)), **more)

        self.columns = (
            column("lot"), column("plant", gives=2, least=6), column("phase", coloured=True),
            Column("bar", BAR, gives=1, least=8, most=60, coloured=True), column("day of", right=True, gives=3),
            *(column(name, right=True) for name in COLUMNS),
        )  # fmt: skip
        self.put(rows, order)

    def _cells(self, lot: ColdLot) -> dict[str, str]:
        dates = dict(zip(COLUMNS, date_cells(lot, self.today), strict=True))
        first = {"lot": lot.lot.id, "plant": lot.plant, "phase": phase_cell(lot)}
        return {**first, "day of": day_cell(lot, self.today), **dates}

    def paint(self, row: ColdRow, width: int) -> tuple[str | Sequence[Part], str]:
        wide, lot = self.wide(width), row.lot
        if lot is None:
            names = {column.name: column.name for column in self.columns if column.name != "bar"}
            return "".join(text for text, _ in laid(self.columns, wide, names)), "place"
        cells = {**self._cells(lot), "bar": bar(lot, self.today, wide["bar"])}
        return laid(self.columns, wide, cells), look_of(lot, self.today)
