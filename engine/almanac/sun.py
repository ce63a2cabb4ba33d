"""Day length, and the days on which the sun turns.

Day length is sunrise to sunset of the upper limb with standard refraction at a level horizon, by astral. Three traps
of astral are walked round here: asked in UTC it gives the wrong day's sunrise far from Greenwich, its elevation option
adds the dip of the horizon (so it is 0), and it knows no rise or set near the poles (so there the sun's height is
followed through the day).
"""

from __future__ import annotations

import math
from bisect import bisect_left
from datetime import UTC, date, datetime, timedelta, timezone
from functools import lru_cache
from zoneinfo import ZoneInfo

from astral import Observer, SunDirection
from astral.sun import elevation, time_at_elevation

DAY_MINUTES = 1440.0
_RIM = -0.8333  # degrees: half the sun's width and the standard refraction of 34 minutes of arc
_TILT, _NEAREST = 23.44, 283.0  # degrees: of the ecliptic, and the sun's longitude when the earth is nearest to it
_GRAZING = 1320.0  # minutes; above this a rise or set falls so near midnight that its day is in doubt

# Meeus, J. (1998), Astronomical Algorithms, 2nd ed., tables 27.B and 27.C (from memory; tried against an ephemeris).
_MEAN_TURN = {
    "march": (2451623.80984, 365242.37404, 0.05169, -0.00411, -0.00057),
    "june": (2451716.56767, 365241.62603, 0.00325, 0.00888, -0.00030),
    "september": (2451810.21715, 365242.01767, -0.11575, 0.00337, 0.00078),
    "december": (2451900.05952, 365242.74049, -0.06223, -0.00823, 0.00032),
}
_PERIODIC = (
    (485, 324.96, 1934.136), (203, 337.23, 32964.467), (199, 342.08, 20.186), (182, 27.85, 445267.112),
    (156, 73.14, 45036.886), (136, 171.52, 22518.443), (77, 222.54, 65928.934), (74, 296.72, 3034.906),
    (70, 243.58, 9037.513), (58, 119.81, 33718.147), (52, 297.17, 150.678), (50, 21.02, 2281.226),
    (45, 247.54, 29929.562), (44, 325.15, 31555.956), (29, 60.93, 4443.417), (18, 155.12, 67555.328),
    (17, 288.79, 4562.452), (16, 198.04, 62894.029), (14, 199.76, 31436.921), (12, 95.39, 14577.848),
    (12, 287.11, 31931.756), (12, 320.81, 34777.259), (9, 227.73, 1222.114), (8, 15.45, 16859.074),
)  # fmt: skip
_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_DYNAMICAL_TIME_AHEAD = timedelta(seconds=70)  # of UTC, in this half-century; a date needs no better


@lru_cache(maxsize=4096)
def turn(which: str, year: int, zone: str) -> int:
    """The ordinal, in the site's zone, of the march, june, september or december turn of the sun.

    Meeus 1998, chapter 27: within a minute for 1951 to 2050.
    """
    y = (year - 2000) / 1000
    mean = sum(c * y**power for power, c in enumerate(_MEAN_TURN[which]))
    t = (mean - 2451545.0) / 36525
    w = math.radians(35999.373 * t - 2.47)
    slope = 1 + 0.0334 * math.cos(w) + 0.0007 * math.cos(2 * w)
    wobble = sum(a * math.cos(math.radians(b + c * t)) for a, b, c in _PERIODIC)
    days = mean + 0.00001 * wobble / slope - 2451545.0
    instant = _J2000 + timedelta(days=days) - _DYNAMICAL_TIME_AHEAD
    return instant.astimezone(_zone(zone)).toordinal()


@lru_cache(maxsize=16384)
def day_length(latitude: float, longitude: float, zone: str, ordinal: int) -> float:
    """Minutes from sunrise to sunset (0 to 1440) on the civil day with this ordinal in the site's zone."""
    day = date.fromordinal(ordinal)
    day += timedelta(days=_date_line_shift(longitude, zone, day))
    observer = Observer(latitude, longitude, 0.0)
    try:
        rise = time_at_elevation(observer, _RIM, day, SunDirection.RISING, with_refraction=False)
        fall = time_at_elevation(observer, _RIM, day, SunDirection.SETTING, with_refraction=False)
        if rise > fall:  # far east the sun rises on the day before, by Greenwich
            before = day - timedelta(days=1)
            rise = time_at_elevation(observer, _RIM, before, SunDirection.RISING, with_refraction=False)
    except ValueError:
        return _followed(observer, day)
    minutes = (fall - rise).total_seconds() / 60
    return minutes if 0 < minutes < _GRAZING else _followed(observer, day)


@lru_cache(maxsize=4096)
def crossing(latitude: float, longitude: float, zone: str, rising: bool, minutes: float, year: int) -> int | None:
    """The first day on which the day length, rising or falling, is at or past `minutes`, in the season of `year`.

    The rising half that ends, or the falling one that begins, with the longest day of the year's own summer in the
    north; in the south likewise with its summer across the New Year. None where the day never passes that length.
    """
    north = latitude >= 0
    if rising == north:
        low, high = turn("december", year - 1, zone), turn("june", year, zone)
    else:
        low, high = turn("june", year, zone), turn("december", year, zone)

    def reached(ordinal: int) -> bool:
        length = day_length(latitude, longitude, zone, ordinal)
        return length >= minutes if rising else length <= minutes

    guess = _near_crossing(latitude, rising == north, minutes, low, high)
    if guess is None:  # it never comes, or the sun grazes the horizon: halve the season
        if reached(low) or not reached(high):
            return None
        guess = low + 1 + bisect_left(range(low + 1, high), True, key=reached)
    while guess > low and reached(guess - 1):
        guess -= 1
    while guess < high and not reached(guess):
        guess += 1
    return guess if guess > low and reached(guess) else None


def _near_crossing(latitude: float, northward: bool, minutes: float, low: int, high: int) -> int | None:
    """About on which day between two turns of the sun the day has that length; None where it has it on none.

    From the declination at which the sun sets half the day length after noon, and the longitude that goes with it.
    """
    wide, half = math.radians(latitude), math.cos(math.radians(minutes / 8))
    reach = math.hypot(math.sin(wide), half * math.cos(wide))
    sine = math.sin(math.radians(_RIM)) / reach if reach else 2.0
    if abs(sine) > 1:
        return None
    declination = math.atan2(math.sin(wide), half * math.cos(wide)) - math.copysign(math.acos(sine), latitude)
    along = math.sin(declination) / math.sin(math.radians(_TILT))
    if abs(along) > 1:
        return None
    longitude = math.degrees(math.asin(along))
    begins, ends = (-90.0, 90.0) if northward else (90.0, 270.0)
    share = (_mean(longitude if northward else 180 - longitude) - _mean(begins)) / (_mean(ends) - _mean(begins))
    return low + math.ceil(share * (high - low))


def _mean(longitude: float) -> float:
    """The mean longitude of the sun, in degrees, at a true one: it runs fastest when the earth is near, in January."""
    return longitude - 1.915 * math.sin(math.radians(longitude - _NEAREST))


def _followed(observer: Observer, day: date) -> float:
    """Day length where the sun grazes the horizon: its height followed from midnight to noon to midnight."""
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=timezone(timedelta(hours=observer.longitude / 15)))

    def up(minute: float) -> bool:
        return elevation(observer, noon + timedelta(minutes=minute), with_refraction=False) > _RIM

    # The equation of time moves the true noon up to 17 minutes; find it, then halve towards each midnight.
    top = max(range(-20, 21, 2), key=lambda m: elevation(observer, noon + timedelta(minutes=m), with_refraction=False))
    if not up(top):
        return 0.0
    total = 0.0
    for edge in (-DAY_MINUTES / 2, DAY_MINUTES / 2):
        if up(edge):
            total += abs(edge - top)
            continue
        inside, outside = float(top), edge
        while abs(outside - inside) > 0.05:
            middle = (inside + outside) / 2
            if up(middle):
                inside = middle
            else:
                outside = middle
        total += abs(inside - top)
    return min(total, DAY_MINUTES)


def _date_line_shift(longitude: float, zone: str, day: date) -> int:
    """Days by which the sun's own date differs from the civil one (a zone kept across the date line)."""
    offset = datetime(day.year, day.month, day.day, 12, tzinfo=_zone(zone)).utcoffset() or timedelta()
    return -round((offset.total_seconds() / 3600 - longitude / 15) / 24)


@lru_cache(maxsize=64)
def _zone(name: str) -> ZoneInfo:
    return ZoneInfo(name)
