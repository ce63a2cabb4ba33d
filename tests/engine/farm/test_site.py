"""The [site] table: frost dates as a grower writes them, and dates that are another hemisphere's."""

import pytest

from engine.farm.reading import Reading, read_document
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
        assert "these are the other hemisphere's dates, or they are swapped" in problem.message
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
    assert "beside it" in problem.message
    assert "leave both out where there is no frost" in problem.hint


def test_no_frost_at_all_is_no_fault():
    assert told(45.0, None, None) == ()


COLD = [-0.4, 1.1, 5.6, 13.1, 19.7, 24.4, 26.6, 25.9, 21.7, 15.0, 8.6, 2.1]
LOWS = [-9.3, -8.1, -4.3, 2.1, 7.7, 11.7, 13.5, 13.1, 9.6, 4.0, -1.4, -7.1]


def warm(units: str = "metric", **temperature: object) -> Reading:
    site = {"latitude": 42.4, "longitude": -76.5, "timezone": "America/New_York", "temperature": temperature}
    return read_document({"farm": {"units": units}, "site": site}, "", "farm.toml")


@pytest.mark.parametrize(("latitude", "last", "first"), [(45.0, "8 May", "3 Oct"), (-41.3, "8 Oct", "20 Apr")])
def test_a_faulty_frost_date_is_told_with_an_example_of_the_farms_own_half_of_the_earth(latitude, last, first):
    hints = {problem.message: problem.hint for problem in told(latitude, "soon", "late")}
    assert last in hints['50% = "soon" is not a month-day']
    assert first in hints['50% = "late" is not a month-day']


def test_temperatures_are_in_the_farms_units():
    metric = warm(mean_max=COLD, mean_min=LOWS)
    us = warm("us", mean_max=[c * 1.8 + 32 for c in COLD], mean_min=[c * 1.8 + 32 for c in LOWS])
    assert metric.problems == us.problems == ()
    assert metric.farm is not None
    assert us.farm is not None
    assert us.farm.site.temperature.means == pytest.approx(metric.farm.site.temperature.means)


@pytest.mark.parametrize(
    ("given", "message", "hint"),
    [
        ({"mean_max": COLD}, "mean_max needs mean_min beside it", "twelve numbers"),
        ({"mean_max": COLD[:11], "mean_min": LOWS}, "twelve numbers, not 11 of them", "January first"),
        ({"mean_max": "warm", "mean_min": LOWS}, "twelve numbers, not something else", "January first"),
        ({"mean_max": [*COLD[:11], "2"], "mean_min": LOWS}, "month 12 is not a number", "twelve numbers"),
        ({"mean_max": [*COLD[:11], float("nan")], "mean_min": LOWS}, "no month has a mean of nan", "units"),
        (
            {"mean_max": [c * 1.8 + 32 for c in COLD], "mean_min": LOWS},
            "no month has a mean of 67.46 C",
            'units = "us"',
        ),
        ({"mean_max": LOWS, "mean_min": COLD}, "month 1 is above its mean_max", "swapped"),
        ({}, "mean_max and mean_min are missing", "twelve numbers"),
        ({"mean_max": COLD, "mean_min": LOWS, "means": LOWS}, '"means" is not a key', "did you mean"),
    ],
)
def test_temperatures_that_cannot_be_used_are_told(given, message, hint):
    problems = warm(**given).problems
    assert len(problems) == 1
    assert message in problems[0].message
    assert hint in problems[0].hint


def test_a_mark_that_comes_only_where_an_unknown_one_does_is_told():
    own = {"latest": ["15 Mar"], "where_comes": "ground freez"}
    site = {"latitude": 45, "longitude": 0, "timezone": "UTC", "marks": {"first walk": own}}
    [problem] = read_document({"site": site}, "", "farm.toml").problems
    assert 'no mark is called "ground freez"' in problem.message
    assert problem.hint == 'did you mean "ground freeze"?'


def test_marks_that_rest_on_themselves_by_the_temperatures_are_told():
    # soil warm rests on the mean where there are temperatures, else on last frost: only the default of its site counts
    marks = {"coldest weeks": "deep dormancy + 1 week", "bud swell": "softwood firm - 8 weeks"}
    site = {"latitude": 42.4, "longitude": -76.5, "timezone": "America/New_York", "marks": marks}
    plain = read_document({"site": site}, "", "farm.toml").problems
    assert any("depends on itself" in problem.message for problem in plain)
    site["temperature"] = {"mean_max": COLD, "mean_min": LOWS}
    assert read_document({"site": site}, "", "farm.toml").problems == ()


def test_the_height_and_the_coldest_night_may_be_given_in_their_own_units():
    site = {"latitude": 44.0, "longitude": -123.0, "timezone": "America/Los_Angeles"}
    farm = read_document({"site": {**site, "elevation_m": "1000 ft", "coldest": "5 F"}}, "", "farm.toml").farm
    assert farm is not None
    assert (farm.site.elevation_m, farm.site.coldest) == (pytest.approx(304.8), -15)
