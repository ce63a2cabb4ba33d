"""Columns of a list, as wide as what stands in them; where the window is too narrow they give way in a set order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from engine.reading.frozen import dataclass
from tui.cells import fit

Part = tuple[str, bool]
"""A piece of a line, and whether it has the colour of the line's state."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. The first in `gives` gives way first, to `least` cells; at 0 it is left out whole, never cut."""

    name: str
    natural: int
    """Cells that the widest of what stands in it takes."""
    gives: int = 0
    """Its turn to give way; 0: it never does."""
    least: int = 0
    most: int = 0
    """Cells that it takes where there is room to spare, if more than it needs."""
    right: bool = False
    coloured: bool = False
    """Whether it has the colour of the line's state."""


def widest(texts: Iterable[str], least: int = 0) -> int:
    """The cells that the widest of these takes, or so many at the least."""
    return max(map(_cells, set(texts)), default=0) if not least else max(least, widest(texts))


def _cells(text: str) -> int:
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def natural(columns: Sequence[Column]) -> int:
    """The cells of a line in which nothing is cut: one before each column, and one after the last."""
    return sum(column.natural + 1 for column in columns if column.natural) + 1


def widths(columns: Sequence[Column], width: int) -> dict[str, int]:
    """How wide each column is in a line of so many cells; 0: it is left out."""
    found = {column.name: column.natural for column in columns}
    over = natural(columns) - width
    for column in sorted((c for c in columns if c.gives and c.natural), key=lambda c: c.gives):
        if over > 0:
            cut = column.natural + 1 if not column.least else min(over, column.natural - column.least)
            found[column.name] -= min(cut, column.natural)
            over -= max(0, cut)
    for column in columns:
        if over < 0 and found[column.name]:
            more = min(-over, max(column.most, column.natural) - found[column.name])
            found[column.name] += more
            over += more
    return found


def laid(columns: Sequence[Column], wide: Mapping[str, int], cells: Mapping[str, str]) -> list[Part]:
    """The cells of a line under their columns."""
    parts: list[Part] = []
    for column in columns:
        if width := wide[column.name]:
            text = cells.get(column.name, "")
            told = f"{text:>{width}}" if column.right and len(text) <= width else fit(text, width)
            parts += [(" ", False), (told, column.coloured)]
    return [*parts, (" ", False)]


def across(columns: Sequence[Column], wide: Mapping[str, int], first: str, last: str) -> int:
    """The cells from one column to another, both and all between them taken together."""
    names = [column.name for column in columns]
    within = [wide[name] for name in names[names.index(first) : names.index(last) + 1] if wide[name]]
    return sum(within) + max(0, len(within) - 1)
