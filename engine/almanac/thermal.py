"""When a site's normal year comes to a degree: its coldest day, its mean rising or falling, its sum of degree days."""

from __future__ import annotations

from bisect import bisect_left
from datetime import date
from functools import lru_cache
from itertools import accumulate

from engine.almanac.phrases import Base, DegreeDaysBase, MeanBase
from engine.almanac.sun import turn
from engine.almanac.warmth import Temperature, day_of_year, degrees_by_day, ordinal_of, warmth_of

COUNT_FROM_DAYS = 42
"""Degree days are counted from so long after the shortest day: about 1 February, as by Cannell & Smith 1983, J. appl.
Ecol. (DOI 10.2307/2403139). A fixed start does as well as one by chilling: Hunter & Lechowicz 1992 (abstract)."""
_HALF, _DAYS = 182, 365


def occurrence(temperature: Temperature, north: bool, zone: str, base: Base, season: int) -> int | None:
    """The ordinal of what rests on warmth in a season; None where it never comes."""
    if isinstance(base, MeanBase):
        return mean_reaches(temperature, north, base, season)
    if isinstance(base, DegreeDaysBase):
        return degrees_reach(temperature, north, zone, base, season)
    return coldest_day(temperature, north, season)


def why_never(temperature: Temperature, base: Base) -> str:
    """Why it never comes."""
    mean = warmth_of(temperature).mean
    if isinstance(base, MeanBase):
        return f"the mean of the normal year runs from {min(mean):.1f} to {max(mean):.1f} C"
    return "the normal year has too few degree days"


def coldest_day(temperature: Temperature, north: bool, season: int) -> int:
    """The ordinal of the coldest day of the winter that ends (north) or falls (south) in the year of the season."""
    return _near(season, warmth_of(temperature).coldest, 0 if north else _HALF)


def mean_reaches(temperature: Temperature, north: bool, base: MeanBase, season: int) -> int | None:
    """The first day in the year's rising (falling) half on which the daily mean is at or past so many degrees.

    None where the normal year does not pass that degree.
    """
    mean = warmth_of(temperature).mean
    coldest, warmest = mean.index(min(mean)), mean.index(max(mean))
    start, end = (coldest, warmest) if base.rising else (warmest, coldest)
    days = [(start + n) % _DAYS for n in range((end - start) % _DAYS + 1)]

    def reached(day: int) -> bool:
        return mean[day] >= base.degrees if base.rising else mean[day] <= base.degrees

    first = next((n for n, day in enumerate(days) if reached(day)), 0)
    if first == 0:
        return None
    began = date.fromordinal(_near(season, start, 0 if north == base.rising else _HALF))
    return ordinal_of(began.year + (1 if days[first] < start else 0), days[first])


def degrees_reach(temperature: Temperature, north: bool, zone: str, base: DegreeDaysBase, season: int) -> int | None:
    """The day on which the degrees to be expected since the count began come to the total; None where they never do."""
    began = count_from(north, zone, season)
    sums = sums_from(temperature, began, base.above)
    n = bisect_left(sums, base.total)
    return began + n if n < len(sums) else None


@lru_cache(maxsize=1024)
def count_from(north: bool, zone: str, season: int) -> int:
    """The first day (ordinal) of a season's degree days."""
    return (turn("december", season - 1, zone) if north else turn("june", season, zone)) + COUNT_FROM_DAYS


@lru_cache(maxsize=256)
def sums_from(temperature: Temperature, began: int, above: float) -> tuple[float, ...]:
    """The degrees to be expected from a day on, summed to the end of each day, until the shortest day is back."""
    degrees = degrees_by_day(temperature, above)
    return tuple(accumulate(degrees[day] for day in _days_of_year(began, _DAYS - COUNT_FROM_DAYS)))


def _days_of_year(began: int, count: int) -> list[int]:
    return [day_of_year(began + n) for n in range(count)]


def _near(season: int, day: int, about: int) -> int:
    """The ordinal of a day of the year, where it comes nearest to another (0, the New Year, or 182) of the season."""
    year = season + (1 if day - about < -_HALF else -1 if day - about > _HALF else 0)
    return ordinal_of(year, day)
