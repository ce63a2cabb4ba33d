"""Bars of block characters, and the signs of a year's scale, which several screens draw."""

from __future__ import annotations

from collections.abc import Sequence

MONTHS = "JFMAMJJASOND"
NOW = "▼"
_LEVELS = " ▁▂▃▄▅▆▇█"


def bars(values: Sequence[float], least: float, most: float) -> tuple[str, str]:
    """Two rows of bars, the upper one first: sixteen steps from the least to the most, one at least above the least."""
    span = most - least or 1
    steps = [max(int(value > least), min(16, round((value - least) / span * 16))) for value in values]
    return "".join(_LEVELS[max(0, n - 8)] for n in steps), "".join(_LEVELS[min(8, n)] for n in steps)


def row(values: Sequence[float], least: float, most: float) -> str:
    """One row of bars: eight steps from the least to the most, one at least above the least."""
    span = most - least or 1
    return "".join(_LEVELS[max(int(value > least), min(8, round((value - least) / span * 8)))] for value in values)
