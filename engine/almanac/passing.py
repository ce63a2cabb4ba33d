"""When the sun passes a height: the equations of NOAA's solar calculator (after Meeus 1998, chapters 25 and 28).

They are those of astral, which walks the rest of the sky (tests/engine/almanac/test_passing.py holds the two together):
the first board waits for a hundred such moments, and importing astral takes as long as all else about the sun.
"""

from __future__ import annotations

from math import acos, asin, cos, degrees, radians, sin, tan

_FAR_NORTH = 89.8  # degrees; at a pole itself there is no noon
_ORDINAL_OF_J2000 = 730120.5  # of noon on 1 January 2000, in days that begin at midnight


def minutes_of_passing(latitude: float, longitude: float, ordinal: int, height: float, rising: bool) -> float | None:
    """Minutes after midnight by Greenwich, on the day `ordinal`, when the sun passes a true `height` in degrees.

    They may be less than 0 or more than 1440. None where the sun does not pass that height.
    """
    wide = radians(max(-_FAR_NORTH, min(latitude, _FAR_NORTH)))
    minutes = 0.0
    for _ in range(2):
        declination, early = _sun((ordinal - _ORDINAL_OF_J2000 + minutes / 1440) / 36525)
        cosine = (sin(radians(height)) - sin(wide) * sin(declination)) / (cos(wide) * cos(declination))
        if abs(cosine) > 1:
            return None
        turn = degrees(acos(cosine))
        minutes = 720 - 4 * (longitude + (turn if rising else -turn)) - early
        if minutes < 0:
            minutes += 1440
    return minutes


def _sun(century: float) -> tuple[float, float]:
    """The sun's declination (radians) and the equation of time (minutes), in centuries from noon of 1 January 2000."""
    mean = radians((280.46646 + century * (36000.76983 + 0.0003032 * century)) % 360)
    anomaly = radians(357.52911 + century * (35999.05029 - 0.0001537 * century))
    round_off = 0.016708634 - century * (0.000042037 + 0.0000001267 * century)  # the eccentricity of the orbit
    centre = (
        sin(anomaly) * (1.914602 - century * (0.004817 + 0.000014 * century))
        + sin(2 * anomaly) * (0.019993 - 0.000101 * century)
        + sin(3 * anomaly) * 0.000289
    )
    node = radians(125.04 - 1934.136 * century)
    along = mean + radians(centre - 0.00569 - 0.00478 * sin(node))
    seconds = 21.448 - century * (46.815 + century * (0.00059 - century * 0.001813))
    tilt = radians(23 + (26 + seconds / 60) / 60 + 0.00256 * cos(node))
    y = tan(tilt / 2) ** 2
    equation = (
        y * sin(2 * mean)
        - 2 * round_off * sin(anomaly)
        + 4 * round_off * y * sin(anomaly) * cos(2 * mean)
        - 0.5 * y * y * sin(4 * mean)
        - 1.25 * round_off * round_off * sin(2 * anomaly)
    )
    return asin(sin(tilt) * sin(along)), 4 * degrees(equation)
