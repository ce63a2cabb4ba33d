"""Crowns as simple solids, and the direct sun that they leave to a spot among them.

A crown is an ellipsoid upright on its stem, from where its boughs begin to its top. In leaf no ray passes it; bare, it
takes a share of each.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import asin, atan2, degrees, hypot

from engine.light.path import SunPath
from engine.reading.frozen import dataclass

BARE = 0.5
"""The share of the sun that a bare crown takes: boughs and twigs of deciduous trees let about half through (from
memory)."""


@dataclass(frozen=True, slots=True)
class Crown:
    """A crown: metres east and north of a corner, from `base` to `top` above the ground, and its radius.

    `takes` is the share of a ray, 0 to 1, that does not come through. A crown of no radius or no height shades nothing.
    """

    east: float
    north: float
    base: float
    top: float
    radius: float
    takes: float = 1.0


Spot = tuple[float, float, float]
"""Metres east, north and above the ground."""


def sun_minutes(path: SunPath, spot: Spot, crowns: Iterable[Crown]) -> float:
    """Minutes of direct sun at a spot on a day, past crowns that stand before it; through a bare one a part counts."""
    left = path.whole
    bare: list[tuple[float, int]] = []
    for crown in crowns:
        if crown.takes >= 1:
            left &= ~shaded(path, spot, crown, left)
        elif crown.takes > 0 and (found := shaded(path, spot, crown, left)):
            bare.append((1 - crown.takes, found))
    if not bare:
        return path.each * left.bit_count()
    return path.each * _through(left, bare)


def _through(left: int, bare: Sequence[tuple[float, int]]) -> float:
    """The steps that are left, each by the share that bare crowns let through."""
    lit = 0.0
    parts = [(1.0, left)]
    for share, mask in bare:
        parts = [
            (passed, steps)
            for through, mine in parts
            for passed, steps in ((through, mine & ~mask), (through * share, mine & mask))
            if steps
        ]
        if len(parts) > 64:  # those that let the least through say no more
            parts.sort(reverse=True)
            parts = parts[:64]
    for through, steps in parts:
        lit += through * steps.bit_count()
    return lit


def shaded(path: SunPath, spot: Spot, crown: Crown, among: int) -> int:
    """Which of the steps `among` a crown stands before the sun, as bits. In a crown there is no sun at all."""
    rise = crown.top - crown.base
    radius = crown.radius
    over = crown.top - spot[2]
    if radius <= 0 or rise <= 0 or over <= 0:
        return 0
    x, y = crown.east - spot[0], crown.north - spot[1]
    away = hypot(x, y)
    scale = 2 * radius / rise  # heights drawn out so that the ellipsoid is a ball
    z = ((crown.top + crown.base) / 2 - spot[2]) * scale
    square = x * x + y * y + z * z - radius * radius
    if square <= 0:
        return among
    if away <= radius:
        found = among & path.within(0, 180, 0, 90)
    else:
        below = crown.base - spot[2]
        high = degrees(atan2(over, away - radius))
        low = degrees(atan2(below, away + radius)) if below > 0 else 0.0
        found = among & path.within(degrees(atan2(x, y)), degrees(asin(radius / away)), low, high)
    east, north, up = path.east, path.north, path.up
    hit = 0
    while found:
        bit = found & -found
        found ^= bit
        k = bit.bit_length() - 1
        e, n, u = east[k], north[k], up[k] * scale
        along = x * e + y * n + z * u
        if along > 0 and along * along >= square * (e * e + n * n + u * u):
            hit |= bit
    return hit
