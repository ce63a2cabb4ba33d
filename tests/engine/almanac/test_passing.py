"""When the sun passes a height, against astral, whose equations they are (NOAA's, after Meeus 1998)."""

from __future__ import annotations

from datetime import UTC, date, datetime

from astral import Observer, SunDirection
from astral.sun import time_at_elevation
from hypothesis import given
from hypothesis import strategies as st

from engine.almanac.passing import minutes_of_passing


@given(
    st.floats(-90, 90), st.floats(-180, 180), st.dates(date(1900, 1, 1), date(2100, 1, 1)), st.floats(-18, 60),
    st.booleans(),
)  # fmt: skip
def test_the_sun_passes_a_height_when_astral_says(
    latitude: float, longitude: float, day: date, height: float, up: bool
):
    way = SunDirection.RISING if up else SunDirection.SETTING
    here = Observer(latitude, longitude, 0.0)
    try:
        passes = time_at_elevation(here, height, day, way, with_refraction=False)
    except ValueError:
        expected = None
    else:
        expected = (passes - datetime(day.year, day.month, day.day, tzinfo=UTC)).total_seconds() / 60
    found = minutes_of_passing(latitude, longitude, day.toordinal(), height, up)
    assert (found is None) == (expected is None)
    assert found is None or expected is None or abs(found - expected) < 1e-3
