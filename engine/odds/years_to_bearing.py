"""Years to bearing, learned: the book's range, drawn out or in by what the grower's own plants did.

Plants of a kind come into bearing at a time f * T, T by the book at any time in its range; f is about 1, within a
third either way in two farms of three (from memory), and is weighed by what the walks saw: between which years each
plant came, or that it had not come yet. Plants that were set together tell less than as many apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log

from engine.reading.frozen import dataclass

SPREAD = 0.3
"""Of log f, before anything is seen."""
TOGETHER = 0.3
"""How much of what a plant tells the others of its cohort have told already."""
ODD = 0.02
"""The share of plants that come at a time of their own."""
_GRID = [exp(SPREAD * (k / 10)) for k in range(-40, 41)]


@dataclass(frozen=True, slots=True)
class Came:
    """Plants of one cohort: for each the age at which it had not come yet, and that by which it had (None: not yet)."""

    ages: tuple[tuple[float, float | None], ...]


def learned_bearing(book: tuple[float, float], cohorts: Sequence[Came]) -> tuple[float, float]:
    """The range in years, after what was seen; the book's own where nothing was."""
    if not any(cohort.ages for cohort in cohorts):
        return book
    weights = [-((log(f) / SPREAD) ** 2) / 2 for f in _GRID]
    for cohort in cohorts:
        if not cohort.ages:
            continue
        looks = 1 / (1 + TOGETHER * (len(cohort.ages) - 1))
        for k, f in enumerate(_GRID):
            weights[k] += looks * sum(log(_chance(book, f, not_yet, by)) for not_yet, by in cohort.ages)
    top = max(weights)
    odds = [exp(weight - top) for weight in weights]
    factor = sum(f * p for f, p in zip(_GRID, odds, strict=True)) / sum(odds)
    return book[0] * factor, book[1] * factor


def _chance(book: tuple[float, float], factor: float, not_yet: float, by: float | None) -> float:
    """The chance that a plant comes between two ages."""
    low, high = book[0] * factor, book[1] * factor

    def before(age: float) -> float:
        return 1.0 if age >= high else 0.0 if age < low else (age - low) / (high - low)

    found = (1.0 if by is None else before(by)) - before(not_yet)
    return ODD * 0.5 + (1 - ODD) * max(0.0, found)
