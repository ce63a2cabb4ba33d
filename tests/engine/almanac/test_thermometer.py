"""A daily record: what is read of it, what is refused, and what ten years of it say of a site."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.almanac.frost import FrostDates
from engine.almanac.thermometer import Record, of_late, read_record
from engine.almanac.years import years_of
from tests.reference.clemson import record as clemson
from tests.reference.clemson import record_text
from tests.reference.tables import rows


def day(text: str) -> int:
    return date.fromisoformat(text).toordinal()


def test_a_plain_record_is_read_in_the_farms_units():
    metric = read_record("date,min,max\n2027-03-01,-1.5,8\n2027-03-02,0,10.5\n")
    us = read_record("Date,TMAX,Min,Max\n2027-03-01,x,29.3,46.4\n2027-03-02,x,32,50.9\n", "us")
    assert metric.refused == us.refused == ()
    assert metric.days == {day("2027-03-01"): (-1.5, 8.0), day("2027-03-02"): (0.0, 10.5)}
    for at, pair in metric.days.items():
        assert us.days[at] == pytest.approx(pair)


@pytest.mark.parametrize(
    "text",
    [
        "date;max;min\n2027-03-01;8,5;-1,5\n",
        "\ufeff# our own\n\n\"date\"\t\"min\"\t\"max\"\r\n2027-03-01\t-1.5\t8.5\r\n",
    ],
)  # fmt: skip
def test_other_marks_between_fields_and_other_orders_are_read_too(text):
    assert read_record(text).days == {day("2027-03-01"): (-1.5, 8.5)}


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("01/03/2027,1,8", '"01/03/2027" is not a date; write year-month-day'),
        ("2027-02-29,1,8", '"2027-02-29" is not a date'),
        ("2027-03-02,1", "2 fields where the header has more"),
        ("2027-03-02,1,warm", '"warm" is not a temperature'),
        ("2027-03-02,9,8", "the minimum 9 is above the maximum 8"),
        ("2027-03-02,1,80", "80.0 °C is not plausible; the record is in the farm's units"),
        ("2027-03-02,nan,8", "is not plausible"),
        ("2027-03-01,1,8", "2027-03-01 is already in line 2"),
    ],
)
def test_a_line_that_cannot_be_used_is_refused_and_the_rest_stands(line, why):
    record = read_record(f"date,min,max\n2027-03-01,0,7\n{line}\n2027-03-03,2,9\n")
    [refused] = record.refused
    assert refused.line == 3
    assert why in refused.why
    assert list(record.days) == [day("2027-03-01"), day("2027-03-03")]


@pytest.mark.parametrize("text", ["", "\n# nothing yet\n", "2027-03-01,0,7\n", "day,low,high\n2027-03-01,0,7\n"])
def test_a_record_without_its_header_says_so_at_its_line(text):
    record = read_record(text)
    assert record.days == {}
    [refused] = record.refused
    assert "date,min,max" in refused.why


def test_a_day_that_was_not_read_is_a_gap_and_no_fault():
    record = read_record("date,min,max\n2027-03-01,0,7\n2027-03-02,,\n2027-03-03,1,\n2027-03-04,2,9\n2027-03-06,1,8\n")
    assert record.refused == ()
    assert record.gaps() == ((day("2027-03-02"), day("2027-03-03")), (day("2027-03-05"), day("2027-03-05")))


@given(st.text(max_size=400), st.sampled_from(["metric", "us"]))
def test_no_text_whatever_is_an_exception(text, units):
    for whole in (text, "date,min,max\n" + text):
        read_record(whole, units)
        years_of(read_record(whole, units), north=True)


def test_only_what_came_before_the_day_counts_and_gaps_stay_gaps():
    record = read_record("date,min,max\n2027-03-01,0,7\n2027-03-03,2,9\n2027-03-04,3,9\n")
    late = of_late(record, day("2027-03-04"))
    assert (late.first, late.last, late.means) == (day("2027-03-01"), day("2027-03-03"), (3.5, None, 5.5))
    assert of_late(record, day("2027-03-01")) is None


def test_a_night_of_minus_72_in_july_is_refused_by_its_line_and_no_other_in_91_years():
    # NOAA GHCN daily, Clemson University SC: 18 July 1936 stands there at -57.8 C
    record = clemson()
    [refused] = record.refused
    assert refused.why.startswith("a minimum of -72.0 °F is not plausible on 1936-07-18")
    assert record_text().splitlines()[refused.line - 1] == "1936-07-18,-72,92"
    assert len(record.days) == 33_125


def test_lines_before_the_day_asked_for_are_passed_over_and_the_rest_is_the_same():
    whole, late = clemson(), read_record(record_text(), "us", day("2019-01-01"))
    assert late.days == {at: pair for at, pair in whole.days.items() if at >= day("2019-01-01")}


def of(frost: FrostDates | None, year: int = 2025) -> dict[int, int]:
    assert frost is not None
    return {round(p.chance * 100): date(year, p.month, p.day).toordinal() for p in frost.points}


def test_thirty_years_of_clemson_give_about_its_published_frost_dates():
    # NOAA NCEI 2011, 1981-2010 U.S. Climate Normals, supplemental normals (which fill what the record lacks)
    [row] = [row for row in rows("freeze_normals_1981_2010") if row["station"] == "USC00381770"]
    whole = clemson()
    record = Record({at: pair for at, pair in whole.days.items() if day("1980-07-24") <= at < day("2010-07-24")})
    years = years_of(record, north=True)
    assert years.left_out == ((2005, 28), (2006, 15))
    assert years.count == 28
    for frost, columns in (
        (years.last_frost, {90: "last_90", 50: "last_50"}),
        (years.first_frost, {50: "first_50", 90: "first_90"}),
    ):
        for chance, column in columns.items():
            month, monthday = map(int, row[column].split("-"))
            assert abs(of(frost)[chance] - date(2025, month, monthday).toordinal()) <= 4, column


def test_thirty_years_of_clemson_give_about_its_published_months():
    # NOAA 1981-2010 normals of the maximum
    [row] = [row for row in rows("monthly_temperatures") if row["place"] == "clemson"]
    whole = clemson()
    record = Record({at: pair for at, pair in whole.days.items() if day("1981-01-01") <= at < day("2011-01-01")})
    months = years_of(record, north=True).temperature
    assert months.mean_max == pytest.approx([float(row[f"max_{m}"]) for m in range(1, 13)], abs=0.7)


def test_nine_years_say_nothing_of_frost_or_months():
    whole = clemson().days
    nine = Record({at: pair for at, pair in whole.items() if day("1990-07-24") <= at < day("1999-07-24")})
    years = years_of(nine, north=True)
    assert (years.count, years.last_frost, years.first_frost, years.temperature, years.coldest) == (9,) + (None,) * 4


def made(first: int, last: int, frost_from: tuple[int, int], frost_to: tuple[int, int]) -> Record:
    """A record whose nights freeze from one day to another of every cold season, of all seasons but each fourth."""
    days = {}
    for at in range(date(first, 1, 1).toordinal(), date(last, 12, 31).toordinal() + 1):
        here = date.fromordinal(at)
        into = (here.month, here.day)
        cold = into >= frost_from or into <= frost_to if frost_from > frost_to else frost_from <= into <= frost_to
        days[at] = (-3.0 if cold and here.year % 4 else 4.0, 12.0)
    return Record(days)


def test_in_the_south_a_cold_season_lies_within_the_year():
    years = years_of(made(2000, 2020, (5, 10), (9, 20)), north=False)
    assert years.count >= 19
    # three years in four have frost, all on the same days: its chance is never 90 %
    assert [round(p.chance, 1) for p in years.last_frost.points] == [0.5, 0.1]
    for chance, at in of(years.last_frost).items():
        assert abs(at - date(2025, 9, 20).toordinal()) <= 3, chance
    for chance, at in of(years.first_frost).items():
        assert abs(at - date(2025, 5, 10).toordinal()) <= 3, chance


def test_where_it_never_freezes_there_are_no_frost_dates():
    days = {day("2001-01-01") + n: (5.0, 15.0) for n in range(20 * 366)}
    years = years_of(Record(days), north=True)
    assert years.count >= 18
    assert (years.last_frost, years.first_frost) == (None, None)
    assert years.coldest == 5.0
    assert years.temperature.means == pytest.approx([10.0] * 12)


def test_a_thin_season_is_left_out_and_named():
    whole = {at: pair for at, pair in clemson().days.items() if at >= day("2007-07-24")}
    gone = range(day("2012-12-01"), day("2012-12-12"))
    years = years_of(Record({at: pair for at, pair in whole.items() if at not in gone}), north=True)
    assert years.left_out == ((2013, 11),)
    assert years_of(Record({at: p for at, p in whole.items() if at not in gone[:10]}), north=True).left_out == ()


def test_the_29th_of_february_is_a_day_like_any_other():
    days = {day("2001-01-01") + n: (0.0 if n % 7 else -1.0, 9.0) for n in range(12 * 366)}
    leap = timedelta(days=1) + date(2004, 2, 28)
    assert leap.toordinal() in days
    assert years_of(Record(days), north=True).temperature.mean_max == pytest.approx((9.0,) * 12)
