"""The season by the thermometer: marks on degrees from what came, the others moved, and what is said of it."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.almanac.almanac import Almanac, Sighting, Site
from engine.almanac.frost import FrostDates, FrostPoint
from engine.almanac.marks import read_definition
from engine.almanac.normal_year import warmth_of
from engine.almanac.phrases import DegreeDaysBase, parse_phrase
from engine.almanac.thermometer import Thermometer, of_late
from engine.almanac.warmth_reached import Climate, count_from, degrees_reach, lead_days, moved
from engine.almanac.why_this_date import explain, reason
from tests.engine.almanac.test_normal_year import site, temperature
from tests.reference.clemson import record
from tests.sampled import sampled

CLEMSON = Climate(temperature("clemson"), True, "America/New_York")


@pytest.mark.parametrize("said", sampled([(14, 0.56), (30, 0.75)], 2), ids=str)
def test_91_springs_of_clemson_the_thermometer_takes_half_the_error_of_a_mark_two_weeks_ahead(said):
    # NOAA GHCN daily, Clemson University SC, 1930 to 2020: the day on which a sum of degrees came, against its normal
    # day, and against the day that what came until two weeks (a month) before leads one to expect
    ahead, share = said
    for total in (250, 400):
        plain, kept = errors(total, ahead)
        assert len(plain) >= 85
        assert fmean(kept) <= share * fmean(plain), (total, fmean(plain), fmean(kept))
    if ahead == 14:
        both = [errors(total, ahead) for total in (75, 150, 250, 400)]
        assert fmean(e for _, kept in both for e in kept) <= 0.56 * fmean(e for plain, _ in both for e in plain)
        assert all(fmean(kept) <= 0.5 * fmean(plain) for plain, kept in both[2:])


@cache
def errors(total: int, ahead: int) -> tuple[list[int], list[int]]:
    plain, kept = [], []
    base = DegreeDaysBase(5.0, total)
    for year in range(1930, 2021):
        began, usual = count_from(True, CLEMSON.zone, year), degrees_reach(CLEMSON, base, year)
        days = range(began, usual + 60)
        if sum(day not in record().days for day in days) > 10:
            continue
        means = tuple(None if (pair := record().days.get(day)) is None else sum(pair) / 2 for day in days)
        came = degrees_reach(replace(CLEMSON, thermometer=Thermometer(began, means)), base, year)
        so_far = means[: came - ahead - began]
        if so_far and came - ahead > began:
            told = degrees_reach(replace(CLEMSON, thermometer=Thermometer(began, so_far)), base, year)
            plain.append(abs(came - usual))
            kept.append(abs(came - told))
    return plain, kept


def shifted(degrees: float, until: date, where: str = "ithaca", since: date = date(2027, 1, 1)) -> Thermometer:
    """A thermometer that reads so many degrees above the normal year's mean, every day to yesterday."""
    mean = warmth_of(temperature(where)).mean
    days = (until - since).days
    return Thermometer(since.toordinal(), tuple(mean[n % 365] + degrees for n in range(days)))


def almanac(degrees: float, until: date, **changes: object) -> Almanac:
    return Almanac(replace(site("ithaca"), thermometer=shifted(degrees, until), **changes))


def on(almanac: Almanac, text: str, year: int = 2027) -> date:
    found = almanac.occurrence(parse_phrase(text), year)
    assert found is not None
    return date.fromordinal(found)


UNTIL = date(2027, 4, 10)
PLAIN = Almanac(site("ithaca"))


def test_a_warm_spring_is_ahead_and_a_cold_one_behind_and_each_date_says_so():
    warm, cold = almanac(6, UNTIL), almanac(-4, UNTIL)
    for mark in ("bud swell", "soil workable", "soil warm", "softwood firm", "bark slips (spring)"):
        assert on(warm, mark) < on(PLAIN, mark) < on(cold, mark), mark
        for one, way in ((warm, "ahead"), (cold, "behind")):
            days = abs(on(one, mark) - on(PLAIN, mark)).days
            said = f", {days} day{'s' if days > 1 else ''} {way} by your thermometer"
            assert reason(one, mark, 2027).endswith(said)
            assert said in explain(one, parse_phrase(f"{mark} - 1 week"), 2027)
    assert "thermometer" not in reason(PLAIN, "bud swell", 2027)
    text = "degree days above 5 C reach 75"
    assert "ahead by your thermometer" in explain(warm, parse_phrase(text), 2027)


def test_next_year_the_autumn_the_sun_and_the_frost_stay_where_they_are():
    warm = almanac(6, UNTIL)
    for mark in ("leaf drop", "soil cold", "deep dormancy", "ground freeze", "longest day", "coldest day"):
        assert on(warm, mark) == on(PLAIN, mark), mark
    for mark in ("bud swell", "soil workable"):
        assert on(warm, mark, 2028) == on(PLAIN, mark, 2028)
        assert "thermometer" not in reason(warm, mark, 2028)


FROSTS = {
    "last_frost": FrostDates(True, (FrostPoint(0.9, 4, 26), FrostPoint(0.5, 5, 14), FrostPoint(0.1, 5, 31))),
    "first_frost": FrostDates(False, (FrostPoint(0.5, 10, 3), FrostPoint(0.9, 10, 22))),
}
OWN = {
    name: read_definition(value)
    for name, value in {
        "bud swell": "last frost - 5 weeks",
        "light": {"latest": ["day length rises to 13 h"]},
        "tender": "last frost (10%) + 1 week",
        "dated": "20 Apr",
    }.items()
}


def test_a_mark_on_frost_or_light_is_moved_but_neither_frost_itself_nor_a_chance_nor_a_date():
    plain = Almanac(replace(site("ithaca"), **FROSTS, marks=OWN))
    warm = almanac(6, UNTIL, **FROSTS, marks=OWN)
    assert on(warm, "bud swell") < on(plain, "bud swell") == date(2027, 4, 9)
    assert on(warm, "light") < on(plain, "light")
    for same in ("last frost", "last frost (10%)", "tender", "dated", "first frost", "day length rises to 13 h"):
        assert on(warm, same) == on(plain, same), same


def test_the_move_of_a_mark_on_frost_is_by_the_degrees_of_the_normal_year_at_its_day():
    thermometer = shifted(6, UNTIL)
    climate = Climate(temperature("ithaca"), True, "America/New_York", thermometer)
    began = count_from(True, climate.zone, 2027)
    usual = date(2027, 4, 25).toordinal()
    found = moved(climate, usual)
    mean = warmth_of(climate.temperature)
    wanted = sum(mean.expected(day.timetuple().tm_yday - 1, 5.0) for day in dates(began, usual))
    came = 0.0
    for day in dates(began, found):
        n = day.toordinal() - thermometer.first
        given = n < len(thermometer.means)
        came += max(0.0, thermometer.means[n] - 5) if given else mean.expected(day.timetuple().tm_yday - 1, 5.0)
        if day.toordinal() < found:
            assert came < wanted
    assert came >= wanted


def dates(first: int, last: int) -> list[date]:
    return [date.fromordinal(n) for n in range(first, last + 1)]


def test_what_was_seen_beats_the_thermometer():
    seen = [Sighting("bud swell", date(2027, 4, 2))]
    warm = Almanac(replace(site("ithaca"), thermometer=shifted(6, UNTIL)), seen)
    assert on(warm, "bud swell") == date(2027, 4, 2)
    assert reason(warm, "bud swell", 2027) == "seen 2 Apr"
    frost = [Sighting("last frost", date(2027, 5, 1))]
    own = Almanac(replace(site("ithaca"), **FROSTS, marks=OWN, thermometer=shifted(6, UNTIL)), frost)
    assert on(own, "bud swell") == date(2027, 5, 1) - timedelta(weeks=5)


def test_a_species_shift_follows_the_thermometer_once():
    shift = {"bud swell": read_definition("bud swell - 3 weeks")}
    warm = almanac(6, UNTIL)
    assert on(warm.for_species(shift), "bud swell") == on(warm, "bud swell") - timedelta(weeks=3)
    assert "thermometer" in reason(warm.for_species(shift), "bud swell", 2027)


def test_a_thermometer_without_monthly_temperatures_moves_nothing():
    bare = replace(site("ithaca"), temperature=None, **FROSTS)
    with_one = Almanac(replace(bare, thermometer=shifted(6, UNTIL)))
    for mark in ("bud swell", "soil workable", "last frost"):
        assert on(with_one, mark) == on(Almanac(bare), mark)


@pytest.mark.parametrize(("degrees", "way"), [(6, 1), (0, 0), (-5, -1)])
def test_the_lead_is_how_far_the_season_runs_ahead(degrees, way):
    climate = Climate(temperature("ithaca"), True, "America/New_York", shifted(degrees, UNTIL))
    lead = lead_days(climate, UNTIL.toordinal())
    if way:
        assert lead * way >= 5
    else:  # a year without cold and warm spells gathers fewer degrees than the normal year, which has them
        assert -12 <= lead <= 0


@pytest.mark.parametrize(
    ("until", "today"),
    [
        (date(2027, 1, 20), date(2027, 1, 20)),  # before the count begins
        (date(2026, 11, 1), date(2027, 3, 1)),  # last year's
        (UNTIL, date(2028, 3, 1)),
    ],
)
def test_there_is_no_lead_where_the_record_does_not_reach_into_the_season(until, today):
    thermometer = shifted(6, until, since=date(2026, 1, 1))
    climate = Climate(temperature("ithaca"), True, "America/New_York", thermometer)
    assert lead_days(climate, today.toordinal()) is None
    assert lead_days(Climate(temperature("ithaca"), True, "America/New_York"), today.toordinal()) is None


def test_in_the_south_the_season_is_that_of_the_year():
    where = site("ballarat")
    plain = Almanac(where)
    warm = Almanac(replace(where, thermometer=shifted(4, date(2027, 8, 28), "ballarat")))
    assert on(warm, "bud swell") < on(plain, "bud swell")
    assert on(warm, "softwood firm") < on(plain, "softwood firm")
    assert on(warm, "leaf drop", 2028) == on(plain, "leaf drop", 2028)
    assert reason(warm, "bud swell", 2027).endswith("ahead by your thermometer")


def test_days_that_were_not_read_count_as_the_normal_years():
    full = shifted(6, UNTIL)
    holed = Thermometer(full.first, tuple(None if n % 3 else mean for n, mean in enumerate(full.means)))
    some = Almanac(replace(site("ithaca"), thermometer=holed))
    assert on(almanac(6, UNTIL), "bud swell") < on(some, "bud swell") < on(PLAIN, "bud swell")


@given(st.integers(1931, 2020), st.integers(1, 160))
def test_no_spring_of_clemson_puts_a_mark_before_the_count_or_out_of_its_order(year, days):
    began = count_from(True, CLEMSON.zone, year)
    almanac = Almanac(replace(site("clemson"), thermometer=of_late(record(), began + days)))
    order = [on(almanac, mark, year) for mark in ("soil workable", "bud swell", "softwood firm")]
    assert order[1] < order[2]
    assert min(order).toordinal() >= began
    assert on(almanac, "deep dormancy ends", year) == order[1] - timedelta(weeks=1)


def test_a_season_that_is_over_stands_as_it_came():
    # in November the spring of the year is dated by all of its days
    whole = Almanac(replace(site("clemson"), thermometer=of_late(record(), date(2012, 11, 1).toordinal())))
    early = Almanac(replace(site("clemson"), thermometer=of_late(record(), date(2012, 3, 1).toordinal())))
    assert on(whole, "bud swell", 2012) == on(early, "bud swell", 2012) < date(2012, 2, 24)
    assert on(whole, "softwood firm", 2012) < on(early, "softwood firm", 2012)  # March 2012 was the warmest on record
    assert isinstance(whole.site, Site)
