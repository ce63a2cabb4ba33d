"""The year as lines of text: the scale over it, and one line a lot; the printed sheet is made of the same."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.year import WEEKS, Year, YearLine
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines
from tui.screens.batches.rows import look_of
from tui.strips.year_weeks import strip

SCALE = 25
"""Cells that the labels of the scale take."""
LABEL = 40
SIGNS = {"missed": "x", "overdue": "!", "closing": "!", "open": "·", "held": "="}
"""What stands before a lot for how its next step stands, beside the colour."""


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
    return [YearRow(line) for line in year.lines if not words or _wanted(line, words)]


def _wanted(line: YearLine, words: str) -> bool:
    of = line.line
    names = (of.plant, of.lot.batch.species, of.title, *(act.step for act in line.acts))
    return plain(words) in plain(of.lot.id) or matches(words, names)


class YearList(Lines[YearRow]):
    """The lots, each with its fifty-two weeks."""

    def __init__(self) -> None:
        super().__init__("year")
        self.year: Year | None = None

    def show(self, year: Year, rows: Sequence[YearRow], order: Hashable = None) -> None:
        self.year = year
        lines = [row.line.line for row in rows]
        self.columns = (
            Column("lot", widest((line.lot.id for line in lines), 4)),
            Column("plant", widest((line.plant for line in lines), SCALE - 5), gives=2, least=6, most=LABEL),
            Column("next", widest((line.step or line.state for line in lines), 4), gives=1),
            Column("weeks", WEEKS, coloured=True),
        )
        self.put(list(rows), order)

    def paint(self, row: YearRow, width: int) -> tuple[str | Sequence[Part], str]:
        assert self.year is not None
        of, wide = row.line.line, self.wide(width)
        cells = {"lot": of.lot.id, "plant": of.plant, "next": of.step or of.state, "weeks": strip(self.year, row.line)}
        parts, look = laid(self.columns, wide, cells), look_of(of)
        return [(SIGNS.get(look, " "), True), *parts[1:]], look

    def wide(self, width: int) -> dict[str, int]:
        found = super().wide(width)
        if self.before(width, found) + WEEKS + 1 > width:  # the weeks are shown whole
            found["plant"] = 0
        return found

    def before(self, width: int, wide: dict[str, int] | None = None) -> int:
        """The cells before the weeks, in a line so wide."""
        wide = wide or self.wide(width)
        return sum(wide[name] + 1 for name in ("lot", "plant", "next") if wide[name]) + 1
