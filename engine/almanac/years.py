"""What a daily record of ten years or more says of a site: frost dates at their chances, monthly means, coldest night.

The day of the last (first) frost is taken as normal over the winters that have one: Thom, H. C. S., and Shaw, R. H.
(1958), Monthly Weather Review 86(7), 251-257; where some winters have none, chances are shares of all winters.
"""

from __future__ import annotations

from datetime import date
from statistics import NormalDist, fmean, stdev

from engine.almanac.frost import FrostDates, FrostPoint
from engine.almanac.normal_year import Temperature
from engine.almanac.thermometer import Record
from engine.reading.frozen import dataclass

FEWEST_YEARS = 10
MOST_MISSING = 10
"""Days that a winter, or a month, may lack: with ten missing, a climate centre holds a season's frost dates invalid."""
CHANCES = (0.9, 0.5, 0.1)
FREEZING = 0.0
_SPLIT = {True: (7, 24), False: (1, 24)}
"""The day on which one cold season gives way to the next, north and south (Utah Climate Center, freeze tables)."""
_LEAST_SPREAD = 1.0  # days


@dataclass(frozen=True, slots=True)
class Years:
    """What a record says; None where fewer than ten years say it. Degrees Celsius."""

    count: int
    """Cold seasons that are whole, or nearly."""
    left_out: tuple[tuple[int, int], ...]
    """Cold seasons that are too thin: the year in which each ends, and how many days it lacks."""
    last_frost: FrostDates | None
    first_frost: FrostDates | None
    temperature: Temperature | None
    coldest: float | None
    """The coldest night of a year, on average."""


def years_of(record: Record, north: bool) -> Years:
    """What the whole cold seasons of a record say; the first and the last, where only begun, are not thin."""
    seasons, thin = _seasons(record, north)
    enough = len(seasons) >= FEWEST_YEARS
    frosts = [[day for day, (low, _) in sorted(days.items()) if low <= FREEZING] for days in seasons.values()]
    starts = list(seasons)
    lasts = [found[-1] - start for start, found in zip(starts, frosts, strict=True) if found]
    firsts = [found[0] - start for start, found in zip(starts, frosts, strict=True) if found]
    return Years(
        count=len(seasons),
        left_out=thin,
        last_frost=_dates(True, lasts, len(seasons), north) if enough else None,
        first_frost=_dates(False, firsts, len(seasons), north) if enough else None,
        temperature=_months(record),
        coldest=fmean(min(low for low, _ in days.values()) for days in seasons.values()) if enough else None,
    )


def _seasons(
    record: Record, north: bool
) -> tuple[dict[int, dict[int, tuple[float, float]]], tuple[tuple[int, int], ...]]:
    """The days of each whole cold season by its first day; and those that are too thin."""
    whole: dict[int, dict[int, tuple[float, float]]] = {}
    thin: list[tuple[int, int]] = []
    if not record.days:
        return whole, ()
    first, last = min(record.days), max(record.days)
    for year in range(date.fromordinal(first).year - 1, date.fromordinal(last).year + 1):
        start, end = (date(k, *_SPLIT[north]).toordinal() for k in (year, year + 1))
        days = {day: record.days[day] for day in range(start, end) if day in record.days}
        missing = end - start - len(days)
        if missing <= MOST_MISSING:
            whole[start] = days
        elif start >= first and end <= last:
            thin.append((date.fromordinal(end - 1).year, missing))
    return whole, tuple(thin)


def _dates(last: bool, offsets: list[int], seasons: int, north: bool) -> FrostDates | None:
    """Frost dates at their chances, from days counted from the beginning of each cold season."""
    if len(offsets) < 2:
        return None
    curve, share = NormalDist(fmean(offsets), max(stdev(offsets), _LEAST_SPREAD)), len(offsets) / seasons
    start = date(2025, *_SPLIT[north]).toordinal()
    points = []
    for chance in CHANCES:
        if chance < share:
            offset = curve.inv_cdf(1 - chance / share if last else chance / share)
            day = date.fromordinal(start + round(offset))
            points.append(FrostPoint(chance, day.month, day.day))
    return FrostDates(last, tuple(points)) if points else None


def _months(record: Record) -> Temperature | None:
    """The mean of each month over the years that have it nearly whole; None where a month has fewer than ten."""
    found: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for day, pair in record.days.items():
        at = date.fromordinal(day)
        found.setdefault((at.year, at.month), []).append(pair)
    means: list[list[tuple[float, float]]] = [[] for _ in range(12)]
    for (_, month), pairs in found.items():
        if len(pairs) >= 28 - MOST_MISSING + (0 if month == 2 else 3 if month in (1, 3, 5, 7, 8, 10, 12) else 2):
            means[month - 1].append((fmean(low for low, _ in pairs), fmean(high for _, high in pairs)))
    if any(len(years) < FEWEST_YEARS for years in means):
        return None
    return Temperature(
        tuple(fmean(high for _, high in years) for years in means),
        tuple(fmean(low for low, _ in years) for years in means),
    )
