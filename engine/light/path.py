"""The sun's path over a day at a site, by astral: where it stands every few minutes from rise to set.

The rays are those that are seen: refraction lifts a low sun by up to half a degree. The horizon is level, and so is
the ground: slopes and hills are left out.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from functools import lru_cache
from math import ceil, cos, floor, radians, sin

from astral import Observer
from astral.sun import zenith_and_azimuth

from engine.almanac.sun import day_length
from engine.reading.frozen import dataclass

STEP_MINUTES = 2.0
_RIM = 90.8333
"""The true zenith angle, in degrees, at which the sun's upper limb is seen to touch a level horizon."""
_BINS = 180
"""Of two degrees of azimuth each; the height of the sun goes by single degrees."""


@dataclass(frozen=True, slots=True)
class SunPath:
    """A day's sun in steps of `each` minutes: unit vectors to it (east, north, up).

    `turned` and `lower` hold, as bits of whole numbers, which steps have an azimuth in the first so many bins, and a
    height below so many degrees: what a crown may shade is found without going through the day.
    """

    east: tuple[float, ...]
    north: tuple[float, ...]
    up: tuple[float, ...]
    each: float
    turned: tuple[int, ...]
    lower: tuple[int, ...]

    @property
    def minutes(self) -> float:
        """From sunrise to sunset, 0 to 1440."""
        return self.each * len(self.up)

    @property
    def whole(self) -> int:
        """Every step of the day."""
        return (1 << len(self.up)) - 1

    def within(self, azimuth: float, either_side: float, low: float, high: float) -> int:
        """The steps in which the sun may stand within so many degrees of an azimuth, between two heights in degrees.

        Whole bins: it never gives too few.
        """
        if high <= 0:
            return 0
        heights = self.lower[min(90, ceil(high))]
        if low > 1:
            heights &= ~self.lower[min(90, floor(low))]
        if not heights or either_side >= 176:
            return heights
        first = floor((azimuth - either_side) * _BINS / 360) % _BINS
        last = floor((azimuth + either_side) * _BINS / 360) % _BINS
        if first <= last:
            return heights & self.turned[last + 1] & ~self.turned[first]
        return heights & (self.turned[last + 1] | ~self.turned[first])


@lru_cache(maxsize=512)
def sun_path(latitude: float, longitude: float, zone: str, ordinal: int, step: float = STEP_MINUTES) -> SunPath:
    """The sun's path on the day of that ordinal; of no step where it does not rise. `step` in minutes, 1 to 60."""
    day = date.fromordinal(ordinal)
    observer = Observer(latitude, longitude, 0.0)
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=timezone(timedelta(hours=longitude / 15)))
    steps = round(1440 / step)
    seen: list[tuple[float, float]] = []
    for k in range(steps):
        moment = noon + timedelta(minutes=(k + 0.5) * 1440 / steps - 720)
        zenith, azimuth = zenith_and_azimuth(observer, moment, with_refraction=False)
        if zenith < _RIM:
            if zenith > 80:
                zenith, _ = zenith_and_azimuth(observer, moment, with_refraction=True)
            seen.append((max(0.0, 90 - zenith), azimuth % 360))
    length = day_length(latitude, longitude, zone, ordinal)
    return _path(seen, length / len(seen) if seen else step)


def _path(seen: list[tuple[float, float]], each: float) -> SunPath:
    bins, heights = [0] * (_BINS + 1), [0] * 91
    for k, (height, azimuth) in enumerate(seen):
        bins[min(_BINS - 1, int(azimuth * _BINS / 360)) + 1] |= 1 << k
        heights[min(90, floor(height) + 1)] |= 1 << k
    for n in range(1, len(bins)):
        bins[n] |= bins[n - 1]
    for n in range(1, len(heights)):
        heights[n] |= heights[n - 1]
    flat = [(cos(radians(height)), radians(azimuth), sin(radians(height))) for height, azimuth in seen]
    return SunPath(
        tuple(level * sin(turn) for level, turn, _ in flat),
        tuple(level * cos(turn) for level, turn, _ in flat),
        tuple(up for *_, up in flat),
        each,
        tuple(bins),
        tuple(heights),
    )
