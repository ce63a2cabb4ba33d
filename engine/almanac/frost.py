"""Frost dates at any chance, and the chance at any date, from the few points a site gives.

The date of the last (or first) frost is taken as normal over the years: Thom, H. C. S., and Shaw, R. H. (1958),
"Climatological analysis of freeze data for Iowa", Monthly Weather Review 86(7), 251-257.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise
from statistics import NormalDist, linear_regression

_STANDARD = NormalDist()


def month_day(year: int, month: int, day: int) -> date:
    """The month-day in that year; 29 February falls on the 28th of a common year."""
    if (month, day) == (2, 29) and not _leap(year):
        return date(year, 2, 28)
    return date(year, month, day)


def _leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


@dataclass(frozen=True, slots=True)
class FrostPoint:
    """One row of a freeze-probability table: a chance (0 to 1, both excluded) and its month-day."""

    chance: float
    month: int
    day: int


@dataclass(frozen=True, slots=True)
class FrostDates:
    """The last spring frost (chance that frost still comes on or after) or the first autumn one (on or before)."""

    last: bool
    points: tuple[FrostPoint, ...]

    @property
    def name(self) -> str:
        return "last frost" if self.last else "first frost"

    @property
    def single(self) -> bool:
        """With one date only there is no spread: no other chance can be offered."""
        return len(self.points) == 1


class FrostChanceUnknown(ValueError):
    """A chance was asked for that one lone date cannot give."""


@lru_cache(maxsize=256)
def fitted(frost: FrostDates, year: int) -> NormalDist:
    """The normal distribution of the frost date as an ordinal day, for the season whose middle falls in `year`.

    Raises ValueError where there are fewer than two points or their dates do not spread.
    """
    ordinals = _unwrapped(frost, year)
    scores = [_STANDARD.inv_cdf(1 - p.chance if frost.last else p.chance) for p in frost.points]
    spread, middle = linear_regression(scores, ordinals)
    if spread <= 0:
        raise ValueError(f"{frost.name}: the dates do not spread in the order of their chances")
    return NormalDist(middle, spread)


def frost_day(frost: FrostDates, year: int, chance: float = 0.5) -> int:
    """The ordinal of the day at this chance (0 to 1), the nearest day, in the season of `year`.

    Raises FrostChanceUnknown for another chance than the one given where the site gives a single date.
    """
    if frost.single:
        if abs(chance - frost.points[0].chance) > 1e-9:
            raise FrostChanceUnknown(
                f"only one {frost.name} date is given, so no other chance than {frost.points[0].chance:.0%} is known"
            )
        return int(_unwrapped(frost, year)[0])
    return math.floor(fitted(frost, year).inv_cdf(1 - chance if frost.last else chance) + 0.5)


def frost_chance(frost: FrostDates, day: date) -> float | None:
    """The chance (0 to 1) that the last frost comes on or after `day`, or the first on or before it.

    None where the site gives one date only. The season asked is the one whose middle is nearest.
    """
    if frost.single:
        return None
    ordinal = day.toordinal()
    seasons = [fitted(frost, year) for year in (day.year - 1, day.year, day.year + 1)]
    nearest = min(seasons, key=lambda season: abs(season.mean - ordinal))
    before = nearest.cdf(ordinal)
    return 1 - before if frost.last else before


def order_fault(frost: FrostDates) -> str | None:
    """Say what is wrong with the order of the points, or None where later dates have the chances they should."""
    if len({p.chance for p in frost.points}) < len(frost.points):
        return "one chance has two dates"
    ordinals = _unwrapped(frost, 2025)
    by_date = sorted(zip(ordinals, frost.points, strict=True), key=lambda pair: pair[1].chance, reverse=frost.last)
    for (early, first), (late, second) in pairwise(by_date):
        if late < early:
            return (
                f"{second.chance:.0%} ({second.month:02}-{second.day:02}) lies before "
                f"{first.chance:.0%} ({first.month:02}-{first.day:02})"
            )
    if len(by_date) > 1 and by_date[0][0] == by_date[-1][0]:
        return "all chances have the same date"
    return None


def _unwrapped(frost: FrostDates, year: int) -> list[float]:
    """Ordinals of the points; the one nearest even odds lies in `year`, the others within half a year of it."""
    middle = min(frost.points, key=lambda p: abs(p.chance - 0.5))
    anchor = month_day(year, middle.month, middle.day).toordinal()
    days: list[float] = []
    for point in frost.points:
        candidates = (month_day(y, point.month, point.day).toordinal() for y in (year - 1, year, year + 1))
        days.append(min(candidates, key=lambda ordinal: abs(ordinal - anchor)))
    return days
