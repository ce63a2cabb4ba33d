"""The lines of the batches: one lot each, under the season in which it starts."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from datetime import date
from typing import Any

from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.batches import NO_YEAR, BatchLine
from tui.cells import counted, fit, near_cell
from tui.columns import Column, Part, laid, widest
from tui.lines import LOOKS, Lines
from tui.strips.life import letters, strip

YEAR = (24, 12)
"""Cells of the twelve months, where there is room and where there is little."""
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
        if not words or wanted(line, words):
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

    def show(self, rows: list[BatchRow], today: date, order: Hashable = None) -> None:
        """Draw these lines as things stand on a day."""
        self.today = today
        texts = self._texts([row.line for row in rows if row.line is not None])

        def column(name: str, narrowest: int, **more: Any) -> Column:
            return Column(name, widest(texts[name], narrowest), **more)

        self.columns = (
            column("state", 7, coloured=True), column("lot", 4), column("plant", 10, gives=5, least=6),
            column("way", 4, gives=2), column("count", 3, right=True),
            Column("year", YEAR[0], gives=1, least=YEAR[1], coloured=True), column("next", 4, gives=4, least=6),
            column("on", 6, right=True), column("ready", 6, right=True, gives=3),
        )  # fmt: skip
        self.put(rows, order)

    def _texts(self, lines: Sequence[BatchLine]) -> dict[str, set[str]]:
        """All that stands in each column: of thousands of lots few differ, and each is put into words once."""
        next_on = {(line.step, line.day, line.state, line.over) for line in lines}
        return {
            "state": {line.state for line in lines}, "lot": {line.lot.id for line in lines},
            "plant": {line.plant for line in lines}, "way": {line.title for line in lines},
            "count": {str(max((line.lot.count for line in lines), default=0))}, "next": {step for step, *_ in next_on},
            "on": {self._when(*each) for each in next_on},
            "ready": {self._ready(*each) for each in {(line.state, line.ready) for line in lines}},
        }  # fmt: skip

    def _cells(self, line: BatchLine) -> dict[str, str]:
        return {
            "state": line.state, "lot": line.lot.id, "plant": line.plant, "way": line.title,
            "count": str(line.lot.count), "next": line.step,
            "on": self._when(line.step, line.day, line.state, line.over), "ready": self._ready(line.state, line.ready),
        }  # fmt: skip

    def _when(self, step: str, day: date | None, state: str, over: bool) -> str:
        """When the next step is to be done: `now`, or the day; nothing where nothing follows."""
        due = state != "missed" and day is not None and day <= self.today and not over
        return "" if not step else "now" if due else near_cell(day, self.today)

    def _ready(self, state: str, day: date | None) -> str:
        return "" if state in ("dropped", NO_YEAR) else near_cell(day, self.today)

    def wide(self, width: int) -> dict[str, int]:
        found = super().wide(width)
        if found["year"] not in YEAR:  # a month has as many cells as another
            found["year"] = YEAR[1]
        return found

    def paint(self, row: BatchRow, width: int) -> tuple[str | Sequence[Part], str]:
        wide, of = self.wide(width), row.line
        if of is None:  # the months stand over every season: they are seen however far the list is scrolled
            names = {"year": letters(self.today, wide["year"]), "next": "next", "on": "on", "ready": "ready"}
            tail = "".join(text for text, _ in laid(self.columns[5:], wide, names))
            return fit(f" {row.title}", width - len(tail)) + tail, "place"
        cells = {**self._cells(of), "year": strip(of, self.today, wide["year"])}
        parts = laid(self.columns, wide, cells)
        return [*parts, (" " * (width - sum(len(text) for text, _ in parts)), False)], look_of(of)
