"""Label sheets by their geometry: the page, the grid on it, and where each label lies. All measures are mm."""

from __future__ import annotations

import re

from engine.reading.frozen import dataclass

A4 = (210.0, 297.0)
LETTER = (215.9, 279.4)
DEFAULT_SHEET = "a4-3x8"

EDGE = 5.0
"""Office printers leave about so much of a page's edge blank (common practice)."""
PAD = 1.5
"""The least space between a label's edge and its print: sheets shift so much in the feed (common practice)."""
IN_SOIL = 0.22
"""The share of a stick-in label's length that goes into the soil and stays blank (common practice: a fifth or more)."""
LEAST, MOST = (25.0, 10.0), (420.0, 300.0)
"""What a single label of the grower's own measures may be, length and height."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A grid of equal labels, centred on its page. `blank` is the length at each label's right end left unprinted."""

    name: str
    page: tuple[float, float]
    columns: int
    rows: int
    label: tuple[float, float]
    gap: tuple[float, float] = (0.0, 0.0)
    blank: float = 0.0

    @property
    def holds(self) -> int:
        return self.columns * self.rows

    @property
    def margin(self) -> tuple[float, float]:
        """From the page's left and top edge to the first label."""
        across = self.columns * self.label[0] + (self.columns - 1) * self.gap[0]
        down = self.rows * self.label[1] + (self.rows - 1) * self.gap[1]
        return (self.page[0] - across) / 2, (self.page[1] - down) / 2

    @property
    def pad(self) -> tuple[float, float]:
        """Space kept inside a label, left and right, above and below: more where labels reach the page's edge."""
        if self.holds == 1:
            return PAD, PAD
        left, top = self.margin
        return max(PAD, EDGE - left), max(PAD, EDGE - top)

    def cell(self, index: int) -> tuple[float, float]:
        """The left and top edge of label `index` from 0, along the rows, measured from the page's top left corner."""
        row, column = divmod(index, self.columns)
        left, top = self.margin
        return left + column * (self.label[0] + self.gap[0]), top + row * (self.label[1] + self.gap[1])


def _strip(name: str, length: float, height: float, blank: float) -> Sheet:
    return Sheet(name, (length, height), 1, 1, (length, height), blank=blank)


# Grids in common use, columns x rows; the measures are from memory.
SHEETS = {
    sheet.name: sheet
    for sheet in (
        Sheet("a4-2x7", A4, 2, 7, (99.1, 38.1), (2.5, 0)),
        Sheet("a4-3x7", A4, 3, 7, (63.5, 38.1), (2.5, 0)),
        Sheet("a4-3x8", A4, 3, 8, (70, 37)),
        Sheet("a4-4x12", A4, 4, 12, (45.7, 21.2), (2.5, 0)),
        Sheet("a4-5x13", A4, 5, 13, (38.1, 21.2), (2.5, 0)),
        Sheet("letter-2x10", LETTER, 2, 10, (101.6, 25.4), (4.7625, 0)),
        Sheet("letter-3x10", LETTER, 3, 10, (66.675, 25.4), (3.175, 0)),
        Sheet("letter-4x20", LETTER, 4, 20, (44.45, 12.7), (7.62, 0)),
        _strip("strip-100x20", 100, 20, 100 * IN_SOIL),
        _strip("strip-125x16", 125, 16, 125 * IN_SOIL),
        _strip("strip-150x25", 150, 25, 150 * IN_SOIL),
    )
}


def find_sheet(name: str) -> Sheet:
    """A sheet by its name; `strip-LxH` is one stick-in label a page, `LxH` one plain label a page, L and H in mm.

    Raises ValueError with what is expected.
    """
    if name.lower() in SHEETS:
        return SHEETS[name.lower()]
    # Nine characters hold any size that may be; more would only be digits without end.
    found = re.fullmatch(r"(strip-)?(\d{1,3}(?:\.\d{1,4})?)x(\d{1,3}(?:\.\d{1,4})?)", name.lower(), re.ASCII)
    if not found:
        raise ValueError(f'"{name}" is not a sheet; use one of {", ".join(SHEETS)}, or LENGTHxHEIGHT in mm')
    length, height = float(found[2]), float(found[3])
    if not (LEAST[0] <= length <= MOST[0] and LEAST[1] <= height <= MOST[1]):
        raise ValueError(f"a label is {LEAST[0]:g} to {MOST[0]:g} mm long and {LEAST[1]:g} to {MOST[1]:g} mm high")
    return _strip(name.lower(), length, height, length * IN_SOIL if found[1] else 0.0)


def places(sheet: Sheet, count: int, start: int) -> list[tuple[int, int]]:
    """The page and the cell, both from 0, of each of `count` labels where the first takes label `start` (from 1)."""
    return [divmod(start - 1 + n, sheet.holds) for n in range(count)]


def sheet_list() -> str:
    """The sheets in words, for a grower with a ruler in hand."""
    lines = []
    for sheet in SHEETS.values():
        left, top = sheet.margin
        grid = f"{sheet.columns} x {sheet.rows}, " if sheet.holds > 1 else ""
        edges = f", margins {left:.1f} and {top:.1f}" if sheet.holds > 1 else ", to stick in"
        lines.append(f"{sheet.name:<14} {grid}each {sheet.label[0]:.1f} x {sheet.label[1]:.1f} mm{edges}")
    lines.append("LxH or strip-LxH (to stick in): one label a page, L mm long and H mm high")
    return "\n".join(lines)
