"""The year as lines of text: the scale over it, and one line a lot; the printed sheet is made of the same."""

from __future__ import annotations

from collections.abc import Sequence

from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.year import Year, YearLine
from tui.lines import Lines
from tui.screens.batches.rows import look_of
from tui.strips.year_weeks import lot_line


@dataclass(frozen=True, slots=True)
class YearRow:
    """One line of the list."""

    line: YearLine

    @property
    def key(self) -> str:
        return f"lot {self.line.line.lot.id}"

    @property
    def pickable(self) -> bool:
        return True


def year_rows(year: Year, words: str) -> list[YearRow]:
    """The lots that are meant by these words."""
    return [YearRow(line) for line in year.lines if _wanted(line, words)]


def _wanted(line: YearLine, words: str) -> bool:
    of = line.line
    names = (of.plant, of.lot.batch.species, of.title, *(act.step for act in line.acts))
    return plain(words) in plain(of.lot.id) or matches(words, names)


class YearList(Lines[YearRow]):
    """The lots, each with its fifty-two weeks."""

    def __init__(self) -> None:
        super().__init__("year")
        self.year: Year | None = None

    def show(self, year: Year, rows: Sequence[YearRow]) -> None:
        self.year = year
        self.put(list(rows))

    def paint(self, row: YearRow, width: int) -> tuple[str, str]:
        assert self.year is not None
        return lot_line(self.year, row.line, width), look_of(row.line.line)


# -- the scale


# -- one lot
