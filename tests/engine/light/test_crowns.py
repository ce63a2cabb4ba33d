"""The sun past crowns, against an ephemeris of its own (ephem) that follows the same solids ray by ray."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import cos, sin

import ephem
import numpy as np
import pytest

from engine.almanac.sun import day_length
from engine.light.crowns import BARE, Crown, sun_minutes
from engine.light.path import sun_path
from tests.sampled import sampled

PLACES = [(64.1, -21.9, "Atlantic/Reykjavik"), (52.3, -2.9, "Europe/London"), (1.3, 36.8, "Africa/Nairobi"),
          (-34.9, 138.6, "Australia/Adelaide"), (-46.4, 168.4, "Pacific/Auckland")]  # fmt: skip
DAYS = [date(2026, 3, 20), date(2026, 6, 21), date(2026, 11, 5)]
CROWNS = [
    Crown(0, 6, 3, 14, 4), Crown(0, -5, 0, 4, 2), Crown(5, 1, 0.5, 5, 2.2), Crown(-7, 2, 2, 9, 3),
    Crown(-3, -9, 3, 18, 5), Crown(1.5, 0, 4, 11, 4), Crown(12, -2, 0, 1.5, 1), Crown(30, 20, 5, 20, 6),
]  # fmt: skip


def by_ephem(
    place: tuple[float, float, str], day: date, spot: tuple[float, float, float], crowns: list[Crown]
) -> float:
    """Minutes of sun, in half minutes from midnight to midnight by the sun."""
    observer = ephem.Observer()
    observer.lat, observer.lon = str(place[0]), str(place[1])
    observer.pressure, observer.temp = 1010, 15
    sun = ephem.Sun()
    noon = datetime(day.year, day.month, day.day, 12) - timedelta(hours=place[1] / 15)
    rays = []
    for k in range(-1440, 1440):
        observer.date = ephem.Date(noon + timedelta(minutes=(k + 0.5) / 2))
        sun.compute(observer)
        if sun.alt + sun.radius >= 0:
            height, turn = max(0.0, float(sun.alt)), float(sun.az)
            rays.append((cos(height) * sin(turn), cos(height) * cos(turn), sin(height)))
    hidden = np.zeros(len(rays), dtype=bool)
    for crown in crowns:
        hidden |= meet(np.array(rays), spot, crown)
    return 0.5 * float((~hidden).sum())


def meet(rays: np.ndarray, spot: tuple[float, float, float], crown: Crown) -> np.ndarray:
    """Which rays meet an ellipsoid: the greater root of its quadratic is real and lies ahead."""
    axes = np.array([crown.radius, crown.radius, (crown.top - crown.base) / 2])
    start = (np.array(spot) - np.array([crown.east, crown.north, (crown.top + crown.base) / 2])) / axes
    ways = rays / axes
    a, b, c = (ways * ways).sum(axis=1), 2 * ways @ start, start @ start - 1
    within = b * b - 4 * a * c
    return (within >= 0) & (-b + np.sqrt(np.maximum(within, 0)) > 0)


@pytest.mark.parametrize("place", sampled(PLACES, 4), ids=str)
def test_an_ephemeris_finds_the_same_sun_within_six_minutes_a_day(place: tuple[float, float, str]) -> None:
    for n, day in enumerate(DAYS):
        spot = ((0.0, 0.0, 1.0), (2.0, -1.5, 0.3), (-1.0, 0.5, 3.0))[n]
        found = sun_minutes(sun_path(*place, day.toordinal()), spot, CROWNS)
        assert found == pytest.approx(by_ephem(place, day, spot, CROWNS), abs=6)
        assert 0 < found < day_length(*place, day.toordinal()) - 60


@pytest.mark.parametrize("place", PLACES, ids=str)
@pytest.mark.parametrize("day", DAYS, ids=str)
def test_an_open_spot_has_the_whole_day(place: tuple[float, float, str], day: date) -> None:
    path = sun_path(*place, day.toordinal())
    assert sun_minutes(path, (3.0, 4.0, 0.0), []) == pytest.approx(day_length(*place, day.toordinal()), abs=1e-6)
    low = Crown(8, 8, 0, 2, 1)
    assert sun_minutes(path, (3.0, 4.0, 2.5), [low]) == pytest.approx(path.minutes)  # it is higher than its neighbour


def test_where_the_sun_does_not_set_or_rise_the_day_is_whole_or_nothing() -> None:
    place = (78.2, 15.6, "Arctic/Longyearbyen")
    assert sun_path(*place, date(2026, 6, 21).toordinal()).minutes == pytest.approx(1440)
    assert sun_minutes(sun_path(*place, date(2026, 12, 21).toordinal()), (0, 0, 0), CROWNS) == 0


@pytest.mark.parametrize("place", sampled([p for p in PLACES if abs(p[0]) > 30], 2), ids=str)
def test_the_side_of_the_pole_lies_in_the_shade_of_a_tall_tree(place: tuple[float, float, str]) -> None:
    """Over a day of each month: a tall tree takes more from the side of the pole than from that of the equator."""
    tree, pole = Crown(0, 0, 3, 14, 4), 1 if place[0] > 0 else -1
    totals = {}
    for side in (1, -1):
        days = [date(2026, month, 21).toordinal() for month in range(1, 13)]
        totals[side] = sum(sun_minutes(sun_path(*place, day), (0, 5 * side, 1.0), [tree]) for day in days)
    assert totals[pole] < totals[-pole]


def test_a_bare_crown_lets_a_share_through_and_two_a_share_of_it() -> None:
    path = sun_path(52.3, -2.9, "Europe/London", date(2026, 3, 20).toordinal())
    leafy, bare = Crown(0, -4, 0, 8, 3), Crown(0, -4, 0, 8, 3, BARE)
    whole, none = path.minutes, sun_minutes(path, (0, 0, 1), [leafy])
    assert whole - none > 100
    assert sun_minutes(path, (0, 0, 1), [bare]) == pytest.approx(none + (whole - none) * (1 - BARE))
    assert sun_minutes(path, (0, 0, 1), [bare, bare]) == pytest.approx(none + (whole - none) * (1 - BARE) ** 2)


def test_amid_a_crown_there_is_no_sun_and_its_own_shadow_is_a_circle_wide() -> None:
    """At the equator in March the sun passes overhead: a ball straight above hides it for its own width."""
    path = sun_path(0.0, 0.0, "Africa/Accra", date(2026, 3, 20).toordinal())
    assert sun_minutes(path, (0, 0, 5), [Crown(0, 0, 0, 10, 3)]) == 0
    ball = Crown(0, 0, 9, 11, 1)
    half = np.degrees(np.arcsin(1 / 10))
    assert path.minutes - sun_minutes(path, (0, 0, 0), [ball]) == pytest.approx(2 * half / 360 * 1440, abs=4)
