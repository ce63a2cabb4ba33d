"""The [site] table: frost dates as a grower writes them, and dates that are another hemisphere's."""

import pytest

from engine.farm.reading import read_document
from engine.reading.problems import Problem
from tests.reference.tables import rows


def told(latitude: float, last: object, first: object) -> tuple[Problem, ...]:
    site = {"latitude": latitude, "longitude": 0.0, "timezone": "UTC"}
    site |= {key: value for key, value in (("last_frost", last), ("first_frost", first)) if value is not None}
    return read_document({"site": site}, "", "farm.toml").problems


@pytest.mark.parametrize("row", rows("freeze_normals_1981_2010"), ids=lambda row: row["name"])
def test_the_dates_of_every_published_station_are_of_their_own_hemisphere(row):
    # NOAA NCEI 2011, 1981-2010 U.S. Climate Normals, supplemental normals
    last = {"90%": row["last_90"], "50%": row["last_50"]}
    first = {"50%": row["first_50"], "90%": row["first_90"]}
    assert told(40.0, last, first) == ()
    for problems in (told(-40.0, last, first), told(40.0, first["50%"], last["50%"])):
        [problem] = problems
        assert "these are the other hemisphere's dates, or stand one for the other" in problem.message
        assert "latitude is negative" in problem.hint


@pytest.mark.parametrize(
    ("latitude", "last", "first"),
    [
        (46.0, "07-05", "08-18"),  # a high valley: its summer begins after the longest day
        (36.7, "01-20", "01-03"),  # a mild coast: its first frost comes after the shortest day
        (-37.6, "10-26", "04-22"),
        (-0.5, "03-01", "12-01"),  # on a mountain at the equator there is no summer
        (-0.5, "09-01", "06-01"),
    ],
)
def test_dates_at_the_edges_of_the_season_are_no_fault(latitude, last, first):
    assert told(latitude, last, first) == ()


@pytest.mark.parametrize("way", ["10-15", "15 Oct", "15 October", " 15  oct "])
def test_a_frost_date_is_written_as_in_a_window_or_as_a_month_day(way):
    site = {"latitude": 50, "longitude": 0, "timezone": "UTC", "last_frost": "8 May", "first_frost": {"50%": way}}
    reading = read_document({"site": site}, "", "farm.toml")
    assert reading.problems == ()
    assert reading.farm is not None
    assert reading.farm.site.first_frost is not None
    [point] = reading.farm.site.first_frost.points
    assert (point.month, point.day) == (10, 15)


@pytest.mark.parametrize(("last", "first"), [("05-08", None), (None, "10-03")])
def test_one_frost_without_the_other_is_told(last, first):
    [problem] = told(45.0, last, first)
    assert "stands without" in problem.message
    assert "leave both out where no frost comes" in problem.hint


def test_no_frost_at_all_is_no_fault():
    assert told(45.0, None, None) == ()
