"""When a site's normal year comes to a degree: its coldest day, its mean rising or falling, its sum of degree days."""

from __future__ import annotations

from bisect import bisect_left
from datetime import date
from functools import lru_cache
from itertools import accumulate
from typing import TYPE_CHECKING

from engine.almanac.normal_year import Temperature, day_of_year, degrees_by_day, ordinal_of, warmth_of
from engine.almanac.phrases import Base, DegreeDaysBase, MeanBase
from engine.almanac.sun import turn
from engine.reading.frozen import dataclass

if TYPE_CHECKING:
    from engine.almanac.thermometer import Thermometer

COUNT_FROM_DAYS = 42
"""Degree days are counted from so long after the shortest day: about 1 February, as by Cannell & Smith 1983, J. appl.
Ecol. (DOI 10.2307/2403139). A fixed start does as well as one by chilling: Hunter & Lechowicz 1992 (abstract)."""
_HALF, _DAYS = 182, 365
_ABOVE, _SWELL = 5.0, 75.0  # degrees C and degree days: the base of a season's lead, and about where buds swell


@dataclass(frozen=True, slots=True)
class Climate:
    """The normal year of a site, and the daily means of late that its thermometer gave, where it has one."""

    temperature: Temperature
    north: bool
    zone: str
    thermometer: Thermometer | None = None


def occurrence(climate: Climate, base: Base, season: int) -> int | None:
    """The ordinal of what rests on warmth in a season; None where it never comes."""
    temperature, north = climate.temperature, climate.north
    if isinstance(base, MeanBase):
        usual = mean_reaches(temperature, north, base, season)
        return moved(climate, usual) if base.rising and usual is not None else usual
    if isinstance(base, DegreeDaysBase):
        return degrees_reach(climate, base, season)
    return coldest_day(temperature, north, season)


def why_never(temperature: Temperature, base: Base) -> str:
    """Why it never comes."""
    mean = warmth_of(temperature).mean
    if isinstance(base, MeanBase):
        return f"the mean of the normal year is from {min(mean):.1f} to {max(mean):.1f} °C"
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


def degrees_reach(climate: Climate, base: DegreeDaysBase, season: int) -> int | None:
    """The day on which the degrees since the count began come to the total: what came, then what is to be expected.

    None where they never do.
    """
    began = count_from(climate.north, climate.zone, season)
    sums = _sums_of_season(climate, began, base.above) or sums_from(climate.temperature, began, base.above)
    n = bisect_left(sums, base.total)
    return began + n if n < len(sums) else None


def moved(climate: Climate, usual: int) -> int:
    """The day of this season that has the degrees of the normal year's usual day.

    Only between the beginning of the count and the warmest day, and where the thermometer reaches into the season:
    the warmth of a spring says nothing of the autumn.
    """
    if climate.thermometer is None:
        return usual
    year = date.fromordinal(usual).year
    began = max(b for k in (year - 1, year, year + 1) if (b := count_from(climate.north, climate.zone, k)) <= usual)
    sums = _sums_of_season(climate, began, _ABOVE)
    normal = sums_from(climate.temperature, began, _ABOVE)
    warmest = warmth_of(climate.temperature).warmest
    n = usual - began
    if sums is None or n == 0 or n >= (warmest - day_of_year(began)) % _DAYS:
        return usual
    return began + min(bisect_left(sums, normal[n]), len(sums) - 1)


def lead_days(climate: Climate, today: int) -> int | None:
    """Days by which this season runs ahead of the normal year; behind: negative.

    By the sum of degrees that has come; until buds swell by the day on which they are to be expected to, for the first
    warm days of a winter say little. None where the thermometer does not reach into the season of today.
    """
    year = date.fromordinal(today).year
    began = max(b for k in (year - 1, year, year + 1) if (b := count_from(climate.north, climate.zone, k)) <= today)
    thermometer, sums = climate.thermometer, _sums_of_season(climate, began, _ABOVE)
    n = -1 if thermometer is None else thermometer.last - began
    if sums is None or today - began >= len(sums) or not 0 <= n < len(sums):
        return None
    reached = max(sums[n], _SWELL)
    return _nearest(sums_from(climate.temperature, began, _ABOVE), reached) - _nearest(sums, reached)


def _nearest(sums: tuple[float, ...], total: float) -> int:
    """The day, counted from the first, on which a sum comes nearest to a total."""
    n = min(bisect_left(sums, total), len(sums) - 1)
    return n - 1 if n and total - sums[n - 1] < sums[n] - total else n


def _sums_of_season(climate: Climate, began: int, above: float) -> tuple[float, ...] | None:
    """The sums of degrees from a day on: what the thermometer gave, and what is to be expected of the other days.

    None where it does not reach into the season.
    """
    thermometer = climate.thermometer
    if thermometer is None or thermometer.last < began or thermometer.first >= began + _DAYS - COUNT_FROM_DAYS:
        return None
    return _sums_with(thermometer, climate.temperature, began, above)


@lru_cache(maxsize=64)
def _sums_with(
    thermometer: Thermometer, temperature: Temperature, began: int, above: float
) -> tuple[float, ...] | None:
    expected = degrees_by_day(temperature, above)
    means = {thermometer.first + n: mean for n, mean in enumerate(thermometer.means) if mean is not None}
    days = range(began, began + _DAYS - COUNT_FROM_DAYS)
    if means.keys().isdisjoint(days):
        return None
    degrees = (max(0.0, means[d] - above) if d in means else expected[day_of_year(d)] for d in days)
    return tuple(accumulate(degrees))


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
