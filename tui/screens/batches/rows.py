"""The lines of the batches: one lot each, under the season in which it starts."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.batches import NO_YEAR, BatchLine
from tui.cells import counted, fit, near_cell
from tui.lines import LOOKS, Lines
from tui.strips.life import letters, strip

STATE, COUNT, DATE = 9, 5, 6
WIDE = 100
"""From so many columns on a month has two cells."""
OVER = "done, or dropped"


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One line: a lot, or a season with how many lots start in it, over which the months stand."""

    key: str
    line: BatchLine | None = None
    title: str = ""

    @property
    def pickable(self) -> bool:
        return self.line is not None

    @property
    def markable(self) -> bool:
        return self.line is not None


def batch_rows(lines: Iterable[BatchLine], words: str) -> list[BatchRow]:
    """The lines, of what is meant by these words; what is over stands at the end."""
    seasons: dict[str, list[BatchLine]] = {}
    for line in sorted(lines, key=lambda each: each.over):
        if wanted(line, words):
            seasons.setdefault(OVER if line.over else line.season, []).append(line)
    rows = []
    for season, lots in seasons.items():
        title = f"{season} · {counted(len(lots), 'lot')}"
        rows.append(BatchRow(f"season {season}", title=title))
        rows += [BatchRow(f"lot {line.lot.id}", line) for line in lots]
    return rows


def wanted(line: BatchLine, words: str) -> bool:
    """Whether a lot is meant by what was typed: plant, Latin name, method, next step, season or state, in part."""
    names = (line.plant, line.lot.batch.species, line.title, line.step, line.season, line.state)
    return plain(words) in plain(line.lot.id) or matches(words, tuple(name for name in names if name))


def look_of(line: BatchLine) -> str:
    """How pressing a lot is, one of the looks of a line: its word says the same."""
    if line.over:
        return "done"
    look = line.state.replace(" ", "-")
    return look if look in LOOKS else "missed"


class BatchList(Lines[BatchRow]):
    """The lots with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("batches")
        self.today = date.min
        self.lot_cells = 5

    def show(self, rows: list[BatchRow], today: date) -> None:
        """Draw these lines as things stand on a day."""
        self.today = today
        self.lot_cells = max([5, *(min(9, len(row.line.lot.id)) for row in rows if row.line)])
        self.put(rows)

    def paint(self, row: BatchRow, width: int) -> tuple[str, str]:
        wide = width >= WIDE
        cells, method, step = (24, 20, 12) if wide else (12, 9, 8)
        fixed = 1 + STATE + self.lot_cells + 1 + 1 + method + COUNT + 1 + cells + 1 + step + 1 + DATE + 1 + DATE + 1
        plant = max(8, width - fixed)
        line = row.line
        if line is None:  # the months stand over every season: they are seen however far the list is scrolled
            tail = f" {fit('next', step)} {'on':>{DATE}} {'ready':>{DATE}} "
            room = width - cells - 1 - len(tail)
            return fit(f"{fit(f' {row.title}', room)} {letters(self.today, cells)}{tail}", width), "place"
        way = line.title if wide else line.lot.batch.method.removesuffix(" cutting")
        head = f" {line.state:<{STATE}}{fit(line.lot.id, self.lot_cells)} {fit(line.plant, plant)} {fit(way, method)}"
        due = line.state == "missed" or (line.day is not None and line.day <= self.today and not line.over)
        when = "" if not line.step else "now" if due and line.state != "missed" else near_cell(line.day, self.today)
        ready = "" if line.state in ("dropped", NO_YEAR) else near_cell(line.ready, self.today)
        tail = f" {fit(line.step, step)} {when:>{DATE}} {ready:>{DATE}} "
        return fit(f"{head}{line.lot.count:>{COUNT}} {strip(line, self.today, cells)}{tail}", width), look_of(line)
