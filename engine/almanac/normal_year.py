"""The normal year's warmth at a site: a curve through its monthly temperatures, and the degrees to be expected.

A mean and two harmonics of the year, fitted by least squares so that the *averages of its months* are those given.
Daily means lie about it normally, with a spread that is widest on the coldest day. Both were tried on daily records of
stations: the curve errs by 0.1 to 0.5 °C (16 records), the expected sums by 5 days at most (9). All in degrees Celsius.
"""

from __future__ import annotations

import math
from datetime import date
from functools import cache, lru_cache
from itertools import accumulate, pairwise

from engine.reading.frozen import dataclass

YEAR = 365.2425
_MONTHS = (31, 28.2425, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_HARMONICS = (1, 2)
_SUMMER_SPREAD = 2.9
_WINTER_SPREAD, _SPREAD_BY_RANGE = 1.7, 0.175  # and so much more for each degree between warmest and coldest month
_DAYS = 365


@dataclass(frozen=True, slots=True)
class Temperature:
    """Twelve monthly means of the daily maximum and of the daily minimum, January first, in degrees Celsius."""

    mean_max: tuple[float, ...]
    mean_min: tuple[float, ...]

    @property
    def means(self) -> tuple[float, ...]:
        """The mean of each month, January first, °C."""
        return tuple((high + low) / 2 for high, low in zip(self.mean_max, self.mean_min, strict=True))


@dataclass(frozen=True, slots=True)
class Warmth:
    """The normal year, day by day from 1 January (of a common year, 365 days): daily mean and its spread."""

    mean: tuple[float, ...]
    spread: tuple[float, ...]

    @property
    def coldest(self) -> int:
        """The day of the year (0 is 1 January) on which the curve is lowest."""
        return self.mean.index(min(self.mean))

    @property
    def warmest(self) -> int:
        """The warmest day of the year, counted from 0."""
        return self.mean.index(max(self.mean))

    def expected(self, day: int, base: float) -> float:
        """Degrees above the base to be expected on a day of the year: the mean of the normal's part above it."""
        z = (self.mean[day] - base) / self.spread[day]
        density = math.exp(-z * z / 2) / math.sqrt(2 * math.pi)
        share = math.erfc(-z / math.sqrt(2)) / 2
        return self.spread[day] * density + (self.mean[day] - base) * share


@lru_cache(maxsize=64)
def warmth_of(temperature: Temperature) -> Warmth:
    """The normal year of twelve months."""
    means = temperature.means
    curve = fitted(means)
    daily = tuple(value_at(curve, day + 0.5) for day in range(_DAYS))
    coldest = daily.index(min(daily))
    winter = _WINTER_SPREAD + _SPREAD_BY_RANGE * (max(means) - min(means))
    middle, swing = (winter + _SUMMER_SPREAD) / 2, (winter - _SUMMER_SPREAD) / 2
    spread = tuple(middle + swing * math.cos(2 * math.pi * (day - coldest) / _DAYS) for day in range(_DAYS))
    return Warmth(daily, spread)


@lru_cache(maxsize=64)
def degrees_by_day(temperature: Temperature, base: float) -> tuple[float, ...]:
    """Degrees above the base to be expected on each day of the year, 1 January first."""
    warmth = warmth_of(temperature)
    return tuple(warmth.expected(day, base) for day in range(_DAYS))


def day_of_year(ordinal: int) -> int:
    """0 on 1 January to 364 on 31 December; 29 February counts with the 28th."""
    day = date.fromordinal(ordinal)
    number = day.timetuple().tm_yday - 1
    leap = number >= 59 and date(day.year, 12, 31).timetuple().tm_yday == _DAYS + 1
    return number - 1 if leap else number


def ordinal_of(year: int, day: int) -> int:
    """The ordinal of a day of the year (0 is 1 January) in that year; the days after 28 February move with it."""
    start = date(year, 1, 1).toordinal()
    leap = date(year, 12, 31).toordinal() - start == _DAYS
    return start + day + (1 if leap and day >= 59 else 0)


def fitted(means: tuple[float, ...]) -> tuple[float, ...]:
    """The mean and the two harmonics (cosine, sine of each) whose months' averages come nearest to the twelve given."""
    rows = _month_averages()
    size = len(rows[0])
    normal = [[sum(row[i] * row[j] for row in rows) for j in range(size)] for i in range(size)]
    right = [sum(row[i] * mean for row, mean in zip(rows, means, strict=True)) for i in range(size)]
    return _solved(normal, right)


def value_at(curve: tuple[float, ...], t: float) -> float:
    """The curve at t days from the beginning of the year."""
    angle = 2 * math.pi * t / YEAR
    waves = ((math.cos(k * angle), math.sin(k * angle)) for k in _HARMONICS)
    return curve[0] + sum(c * w for c, w in zip(curve[1:], (w for pair in waves for w in pair), strict=True))


@cache
def _month_averages() -> tuple[tuple[float, ...], ...]:
    """The average over each month of each term of the curve."""
    edges = [0.0, *accumulate(_MONTHS)]
    rows = []
    for start, end in pairwise(edges):
        row = [1.0]
        for k in _HARMONICS:
            w = 2 * math.pi * k / YEAR
            row += [
                (math.sin(w * end) - math.sin(w * start)) / (w * (end - start)),
                (math.cos(w * start) - math.cos(w * end)) / (w * (end - start)),
            ]
        rows.append(tuple(row))
    return tuple(rows)


def _solved(matrix: list[list[float]], right: list[float]) -> tuple[float, ...]:
    """A small set of linear equations, positive definite, by elimination."""
    size = len(right)
    table = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for i in range(size):
        for j in range(i + 1, size):
            share = table[j][i] / table[i][i]
            table[j] = [a - share * b for a, b in zip(table[j], table[i], strict=True)]
    found = [0.0] * size
    for i in reversed(range(size)):
        found[i] = (table[i][size] - sum(table[i][j] * found[j] for j in range(i + 1, size))) / table[i][i]
    return tuple(found)
