"""Day length against PyEphem (an independent ephemeris), published tables, and what must hold near the poles."""

from datetime import date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import ephem
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.almanac.sun import crossing, day_length, turn
from tests.reference import day_length_published as published
from tests.reference.tables import rows
from tests.sampled import share

NEAREST = 1.5  # minutes; astral's sun and the ephemeris differ by this much at most, away from the polar circles


def minutes(latitude: float, day: date, longitude: float = 0.0, zone: str = "UTC") -> float:
    return day_length(latitude, longitude, zone, day.toordinal())


def by_ephem(latitude: float, longitude: float, zone: str, day: date) -> float:
    """Sunrise before to sunset after the civil noon, upper limb, 34 minutes of refraction."""
    place = ephem.Observer()
    place.lat, place.lon = str(latitude), str(longitude)
    place.pressure, place.horizon = 0, "-0:34"
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=ZoneInfo(zone)).astimezone(ZoneInfo("UTC"))
    place.date = noon.replace(tzinfo=None)
    rise, fall = place.previous_rising(ephem.Sun()), place.next_setting(ephem.Sun())
    return float(fall - rise) * 1440


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (0.0, 0.0, "UTC"),
        (35.0, -106.0, "America/Denver"),
        (45.0, 0.0, "Europe/Paris"),
        (55.0, -3.0, "Europe/London"),
        (60.0, 25.0, "Europe/Helsinki"),
        (65.0, -18.0, "Atlantic/Reykjavik"),
        (-38.0, 145.0, "Australia/Melbourne"),
        (-43.0, 172.6, "Pacific/Auckland"),
        (-13.83, -171.77, "Pacific/Apia"),  # these two keep the date of the other side of the date line
        (1.87, -157.4, "Pacific/Kiritimati"),
        (60.0, -171.77, "Pacific/Apia"),  # no such place; but there a day's error is five minutes and would show
        (-60.0, -157.4, "Pacific/Kiritimati"),
        (53.02, 158.65, "Asia/Kamchatka"),
    ],
)
def test_every_third_day_of_two_years_agrees_with_the_ephemeris(latitude, longitude, zone):
    worst = 0.0
    for k in range(0, 730, 3 if share(3) == 3 else 8):  # with the slow tests every third day
        day = date(2026, 1, 1) + timedelta(days=k)
        off = minutes(latitude, day, longitude, zone) - by_ephem(latitude, longitude, zone, day)
        worst = max(worst, abs(off))
    assert worst < NEAREST


def test_a_day_length_is_crossed_on_the_day_the_ephemeris_gives():
    for row in rows("day_length_crossings_2026"):
        found = crossing(float(row["latitude"]), 0.0, "UTC", row["way"] == "rises", float(row["hours"]) * 60, 2026)
        assert found is not None, row
        margin = min(abs(float(row[column]) - float(row["hours"]) * 60) for column in ("minutes_before", "minutes"))
        off = abs(found - date.fromisoformat(row["date"]).toordinal())
        assert off <= (1 if margin < 1 else 0), row


@pytest.mark.parametrize("latitude", [30.0, 45.0, 60.0, 68.0, -35.0, -42.0, -60.0])
@pytest.mark.parametrize("rising", [True, False])
def test_a_crossing_is_the_first_day_at_or_past_the_length(latitude, rising):
    for hours in (10.5, 11, 12, 13, 13.5):
        day = crossing(latitude, 0.0, "UTC", rising, hours * 60, 2027)
        assert day is not None
        before, at = (day_length(latitude, 0.0, "UTC", d) for d in (day - 1, day))
        assert (before < hours * 60 <= at) if rising else (before > hours * 60 >= at)


def test_a_day_that_never_gets_so_long_is_no_crossing():
    assert crossing(0.0, 0.0, "UTC", True, 14 * 60, 2026) is None
    assert crossing(0.0, 0.0, "UTC", False, 10 * 60, 2026) is None
    assert crossing(30.0, 0.0, "UTC", True, 10 * 60, 2026) is None  # never shorter than 10 h 12 m there
    assert crossing(30.0, 0.0, "UTC", False, 10 * 60, 2026) is None


@pytest.mark.parametrize("latitude", [68.0, 69.0, 70.0, -68.0, -69.0, -70.0])
def test_inside_the_polar_circles_the_day_is_nothing_or_all_of_it_and_changes_without_a_jump_back(latitude):
    north = latitude > 0
    summer, winter = (date(2026, 6, 21), date(2026, 12, 21)) if north else (date(2026, 12, 21), date(2026, 6, 21))
    assert minutes(latitude, summer) == 1440
    assert minutes(latitude, winter) == 0
    start = turn("december", 2025, "UTC") if north else turn("june", 2026, "UTC")
    end = turn("june", 2026, "UTC") if north else turn("december", 2026, "UTC")
    lengths = [day_length(latitude, 0.0, "UTC", day) for day in range(start, end + 1)]
    assert all(0 <= one <= 1440 for one in lengths)
    assert all(late >= early - 0.2 for early, late in pairwise(lengths))


def test_at_68_north_the_polar_day_and_night_begin_and_end_within_two_days():
    whole_year = [date(2026, 1, 1) + timedelta(days=k) for k in range(365)]
    dark = [day for day in whole_year if minutes(68.0, day) == 0]
    light = [day for day in whole_year if minutes(68.0, day) == 1440]
    spring = [day for day in dark if day.month < 6]
    two = timedelta(days=2)
    assert abs(max(spring) - published.WITHOUT_SUN_ENDS_68N) <= two
    assert abs(min(d for d in dark if d.month > 6) - published.WITHOUT_SUN_BEGINS_68N) <= two
    assert abs(light[0] - published.WITHOUT_NIGHT_68N[0]) <= two
    assert abs(light[-1] - published.WITHOUT_NIGHT_68N[1]) <= two
    assert len(light) == (light[-1] - light[0]).days + 1


def test_barrow_has_the_published_weeks_without_night():
    latitude, longitude, zone = published.BARROW
    first, last = published.BARROW_WITHOUT_NIGHT
    days = [date(2007, 4, 20) + timedelta(days=k) for k in range(130)]
    light = [day for day in days if minutes(latitude, day, longitude, zone) == 1440]
    assert abs((light[0] - first).days) <= 2
    assert abs((light[-1] - last).days) <= 2


def test_san_franciscos_longest_and_shortest_days_are_as_published():
    latitude, longitude, zone = published.SAN_FRANCISCO
    year = {
        date(2007, 1, 1) + timedelta(days=k): minutes(latitude, date(2007, 1, 1) + timedelta(days=k), longitude, zone)
        for k in range(365)
    }
    for best, (figure, first, last) in (
        (max, published.SAN_FRANCISCO_LONGEST),
        (min, published.SAN_FRANCISCO_SHORTEST),
    ):
        assert best(year.values()) == pytest.approx(figure, abs=1)  # rise and set are each printed to the minute
        assert first <= best(year, key=year.__getitem__) <= last
        assert all(year[first + timedelta(days=k)] == pytest.approx(figure, abs=1) for k in range((last - first).days))


def test_the_midsummer_day_of_peters_creek_is_as_published():
    latitude, longitude, zone = published.PETERS_CREEK
    figure, day = published.PETERS_CREEK_LONGEST
    assert minutes(latitude, day, longitude, zone) == pytest.approx(figure, abs=NEAREST)


def test_the_sun_turns_on_the_days_the_ephemeris_gives_for_half_a_century():
    asked = {
        "march": ephem.next_vernal_equinox,
        "june": ephem.next_summer_solstice,
        "september": ephem.next_autumnal_equinox,
        "december": ephem.next_winter_solstice,
    }
    zones = ("UTC", "Pacific/Auckland", "America/Los_Angeles")
    for which, following in asked.items():
        for year in range(2000, 2051):
            instant = following(f"{year}/1/1").datetime().replace(tzinfo=ZoneInfo("UTC"))
            for zone in zones:
                local = instant.astimezone(ZoneInfo(zone))
                near_midnight = min(local.hour * 60 + local.minute, 1439 - local.hour * 60 - local.minute) < 3
                off = abs(turn(which, year, zone) - local.toordinal())
                assert off <= (1 if near_midnight else 0), (which, year, zone)


LATITUDES = st.floats(-66, 66)
DAYS = st.integers(date(2000, 1, 1).toordinal(), date(2049, 12, 31).toordinal())


@given(LATITUDES, DAYS, st.sampled_from(["Pacific/Auckland", "America/New_York", "UTC", "Asia/Tokyo"]))
def test_no_day_differs_from_its_neighbour_by_more_than_the_sun_can_move_it(latitude, day, zone):
    # About 25 minutes a day right at the circles; clock changes and the date line must not show.
    longitude = {"Pacific/Auckland": 175.0, "America/New_York": -74.0, "UTC": 0.0, "Asia/Tokyo": 140.0}[zone]
    today, morrow = (day_length(latitude, longitude, zone, d) for d in (day, day + 1))
    assert 0 < today <= 1440
    limit = 6.5 if abs(latitude) <= 60 else 45
    assert abs(today - morrow) < limit


@given(st.floats(0, 60), DAYS, st.floats(-180, 180))
def test_where_the_zone_does_not_fit_the_place_the_day_is_still_as_long(latitude, day, longitude):
    # asked in UTC far from Greenwich the day may be its neighbour, no more
    assert abs(day_length(latitude, longitude, "UTC", day) - day_length(latitude, 0.0, "UTC", day)) < 7


@given(st.floats(0, 55), DAYS)
def test_north_and_south_share_the_day_between_them(latitude, day):
    # 24 h and twice what refraction and the sun's width add at each horizon
    together = day_length(latitude, 0.0, "UTC", day) + day_length(-latitude, 0.0, "UTC", day)
    assert 1440 < together < 1440 + 40
