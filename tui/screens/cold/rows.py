"""The lines of the cold store: one lot each, under the names of the columns."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.cold import LOST, ColdLot
from tui.cells import fit
from tui.lines import Lines
from tui.paper.cold import COLUMNS, date_cells, day_cell, phase_cell
from tui.strips.treatment import bar

PHASE, DAY, DATE = 8, 10, 6
LEAST_BAR, LEAST_PLANT = 14, 8


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
    if lot.phase == LOST:
        return "missed"
    due = lot.radicles is not None and (lot.opens is None or lot.opens <= today)
    if due or (lot.sow_by is not None and lot.sow_by <= today + timedelta(7)):
        return "closing"
    return "open" if lot.begun else "coming"


class ColdList(Lines[ColdRow]):
    """The lots with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("cold")
        self.today = date.min
        self.lot_cells = 5

    def show(self, rows: list[ColdRow], today: date) -> None:
        """Draw these lines as things stand on a day."""
        self.today = today
        self.lot_cells = max([5, *(min(9, len(row.lot.lot.id)) for row in rows if row.lot)])
        self.put(rows)

    def paint(self, row: ColdRow, width: int) -> tuple[str, str]:
        free = width - (1 + self.lot_cells + 1) - 1 - (PHASE + 1) - 1 - DAY - 3 * (1 + DATE) - 1
        cells = max(LEAST_BAR, free // 2)
        plant = max(LEAST_PLANT, free - cells)
        if row.lot is None:
            dates = "".join(f" {name:>{DATE}}" for name in COLUMNS)
            head = f" {fit('lot', self.lot_cells)} {fit('plant', plant)} {'phase':<{PHASE}} {'':<{cells}}"
            return fit(f"{head} {'day of':>{DAY}}{dates} ", width), "place"
        lot = row.lot
        dates = "".join(f" {text:>{DATE}}" for text in date_cells(lot, self.today))
        head = f" {fit(lot.lot.id, self.lot_cells)} {fit(lot.plant, plant)} {phase_cell(lot):<{PHASE}} "
        text = f"{head}{bar(lot, self.today, cells)} {day_cell(lot, self.today):>{DAY}}{dates} "
        return fit(text, width), look_of(lot, self.today)
