"""Frost dates at any chance, and the chance at any date, from the few points a site gives.

The dates given are kept as they are. Between them the date is linear in the normal's quantile, beyond them it goes on
at the slope of the nearest two. With two points that is the normal distribution over the years of Thom, H. C. S., and
Shaw, R. H. (1958), "Climatological analysis of freeze data for Iowa", Monthly Weather Review 86(7), 251-257.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from datetime import date
from functools import lru_cache
from itertools import pairwise
from statistics import NormalDist

from engine.reading.frozen import dataclass
from engine.reading.said import percent

_STANDARD = NormalDist()


Three = tuple[str, str, str]
_NORTH: tuple[Three, Three] = (("04-24", "05-08", "05-22"), ("09-19", "10-03", "10-17"))
_SOUTH: tuple[Three, Three] = (("09-24", "10-08", "10-22"), ("04-05", "04-20", "05-05"))


def example_dates(latitude: float) -> tuple[Three, Three]:
    """Frost dates as they might be there, month-day, the earliest first: three of spring, three of autumn.

    To begin with, and as examples: a grower is shown those of their own half of the earth.
    """
    return _NORTH if latitude >= 0 else _SOUTH


def example_days(latitude: float) -> tuple[Three, Three]:
    """The same in words: `8 May`."""
    spring, autumn = example_dates(latitude)
    return _said(spring), _said(autumn)


def _said(dates: Three) -> Three:
    early, middle, late = map(day_in_words, dates)
    return early, middle, late


def day_in_words(told: str) -> str:
    """`8 May` for the month-day `05-08`; what is in words already stays."""
    month, _, day = told.partition("-")
    return f"{int(day)} {date(2000, int(month), 1):%b}" if month.isdecimal() and day.isdecimal() else told


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
        """The mark that it dates."""
        return "last frost" if self.last else "first frost"

    @property
    def single(self) -> bool:
        """With one date only there is no spread: no other chance can be offered."""
        return len(self.points) == 1


USUAL_DAYS = 17
"""From a frost date at 50 % to the one at 10 or 90 %: the mean of twelve stations, in spring and in autumn alike, which
run from 11 to 24 days (NOAA NCEI 2011, U.S. Climate Normals 1981-2010)."""


class FrostChanceUnknown(ValueError):
    """A chance was asked for that one lone date cannot give."""


Line = tuple[tuple[float, float], ...]
"""Points by date: the normal's quantile of the chance that it is over (or has come), and the ordinal day."""


@lru_cache(maxsize=256)
def line_of(frost: FrostDates, year: int) -> Line:
    """The points of two or more dates in the season whose middle falls in `year`, two of them with different dates.

    Raises ValueError where the dates do not run in the order of their chances or are all the same.
    """
    scores = (_STANDARD.inv_cdf(_past(frost, point.chance)) for point in frost.points)
    line = tuple(sorted(zip(scores, _unwrapped(frost, year), strict=True)))
    if any(late < early for (_, early), (_, late) in pairwise(line)) or line[0][1] == line[-1][1]:
        raise ValueError(f"{frost.name}: the dates are not in the order of their chances")
    return line


def frost_day(frost: FrostDates, year: int, chance: float = 0.5) -> int:
    """The ordinal of the day at this chance (0 to 1), the nearest day, in the season of `year`.

    Raises FrostChanceUnknown for another chance than the one given where the site gives a single date.
    """
    if frost.single:
        if abs(chance - frost.points[0].chance) > 1e-9:
            raise FrostChanceUnknown(
                f"only one {frost.name} date is given, so no chance but {percent(frost.points[0].chance)} is known"
            )
        return int(_unwrapped(frost, year)[0])
    line, score = line_of(frost, year), _STANDARD.inv_cdf(_past(frost, chance))
    (z, day), (other, following) = _pieces(line)[_which([z for z, _ in line], score)]
    return math.floor(day + (score - z) * (following - day) / (other - z) + 0.5)


def frost_chance(frost: FrostDates, day: date) -> float | None:
    """The chance (0 to 1) that the last frost comes on or after `day`, or the first on or before it.

    None where the site gives one date only. The season asked is the one whose middle is nearest.
    """
    if frost.single:
        return None
    ordinal = day.toordinal()
    middles = {year: abs(frost_day(frost, year) - ordinal) for year in (day.year - 1, day.year, day.year + 1)}
    line = line_of(frost, min(middles, key=lambda year: middles[year]))
    at = [score for score, dated in line if dated == ordinal]
    if at:  # as given; where two chances share a day, the greater: frost on that day counts
        over = min(at) if frost.last else max(at)
    else:
        spread = [(a, b) for a, b in _pieces(line) if a[1] < b[1]]
        (z, before), (other, after) = spread[_which([spread[0][0][1], *(b[1] for _, b in spread)], ordinal)]
        over = z + (ordinal - before) * (other - z) / (after - before)
    return _past(frost, _STANDARD.cdf(over))


def _past(frost: FrostDates, chance: float) -> float:
    """The chance that the last frost is over, or the first has come; and back."""
    return 1 - chance if frost.last else chance


def _pieces(line: Line) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(pairwise(line))


def _which(edges: list[float], value: float) -> int:
    """Which piece between edges holds the value; the first or the last where it lies beyond them."""
    return min(max(bisect_right(edges, value) - 1, 0), len(edges) - 2)


def order_fault(frost: FrostDates) -> str | None:
    """Say what is wrong with the order of the points, or None where later dates have the chances they should."""
    if len({p.chance for p in frost.points}) < len(frost.points):
        return "one chance has two dates"
    ordinals = _unwrapped(frost, 2025)
    by_date = sorted(zip(ordinals, frost.points, strict=True), key=lambda pair: pair[1].chance, reverse=frost.last)
    for (early, first), (late, second) in pairwise(by_date):
        if late < early:
            return (
                f"{percent(second.chance)} ({second.month:02}-{second.day:02}) is before "
                f"{percent(first.chance)} ({first.month:02}-{first.day:02})"
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
