"""Frost dates at a chance, and the chance at a date, against published freeze-probability tables."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from engine.almanac.frost import (
    FrostChanceUnknown,
    FrostDates,
    FrostPoint,
    frost_chance,
    frost_day,
    line_of,
    month_day,
    order_fault,
)
from tests.reference import freeze_tables as printed
from tests.reference.tables import rows

YEAR = 2025  # a common year, as the tables count days


def frost(last: bool, *points: tuple[float, int, int]) -> FrostDates:
    return FrostDates(last, tuple(FrostPoint(*point) for point in points))


def southport(last: bool, only: tuple[tuple[int, int], ...] = ()) -> FrostDates:
    """The rows by date as points; the page gives the last freeze on or before, the farm file on or after."""
    text = printed.SOUTHPORT_LAST_BY_DATE if last else printed.SOUTHPORT_FIRST_BY_DATE
    found = []
    for month, day, percent in printed.month_days(text):
        assert percent is not None
        if not only or (month, day) in only:
            found.append((1 - percent / 100 if last else percent / 100, month, day))
    return frost(last, *found)


@pytest.mark.parametrize(
    ("last", "known"), [(True, ((3, 5), (3, 25), (4, 15))), (False, ((10, 15), (11, 10), (12, 5)))]
)
def test_three_rows_of_southport_give_the_chance_of_every_other_row_within_a_fifth_of_a_percent(last, known):
    # National Weather Service, Wilmington NC, Freeze climatology: Southport
    three = southport(last, known)
    assert len(three.points) == 3
    text = printed.SOUTHPORT_LAST_BY_DATE if last else printed.SOUTHPORT_FIRST_BY_DATE
    for month, day, percent in printed.month_days(text):
        chance = frost_chance(three, date(YEAR, month, day))
        on_or_before = 100 * (1 - chance if last else chance)
        assert on_or_before == pytest.approx(percent, abs=0.2), (month, day)


@pytest.mark.parametrize("last", [True, False])
def test_southport_dates_by_chance_agree_within_a_day(last):
    # National Weather Service, Wilmington NC, Freeze climatology: Southport; printed by its floor, so up to a day early
    text = printed.SOUTHPORT_LAST_BY_CHANCE if last else printed.SOUTHPORT_FIRST_BY_CHANCE
    points = southport(last)
    for month, day, percent in printed.month_days(text):
        chance = 1 - percent / 100 if last else percent / 100
        late = frost_day(points, YEAR, chance) - date(YEAR, month, day).toordinal()
        assert late in (0, 1), (month, day, percent)


def illinois() -> list[tuple[bool, str, str]]:
    return [(True, k, v) for k, v in printed.ILLINOIS_LAST.items()] + [
        (False, k, v) for k, v in printed.ILLINOIS_FIRST.items()
    ]


@pytest.mark.parametrize(("last", "region", "text"), illinois())
def test_two_rows_of_each_illinois_region_give_the_other_three_within_a_day(last, region, text):
    # Illinois State Water Survey, by USDA-NASS, Illinois Weather and Crops 1997 no. 17
    days = printed.month_days(text)
    table = [(chance / 100, month, day) for chance, (month, day, _) in zip(printed.ILLINOIS_CHANCES, days, strict=True)]
    given_rows = frost(last, table[0], table[3])  # 3 years in 4, and 1 in 10
    for chance, month, day in table:
        off = frost_day(given_rows, YEAR, chance) - date(YEAR, month, day).toordinal()
        assert abs(off) <= 1, (region, chance, off)


@pytest.mark.parametrize("row", rows("freeze_normals_1981_2010"), ids=lambda row: row["name"])
def test_a_station_gives_back_its_dates_and_about_its_frost_free_season(row):
    # NOAA NCEI 2011, 1981-2010 U.S. Climate Normals, supplemental normals
    def day(column: str) -> tuple[int, int]:
        month, day_of_month = row[column].split("-")
        return int(month), int(day_of_month)

    last = frost(True, (0.9, *day("last_90")), (0.5, *day("last_50")))
    first = frost(False, (0.5, *day("first_50")), (0.9, *day("first_90")))
    for points in (last, first):
        for point in points.points:
            assert frost_day(points, YEAR, point.chance) == date(YEAR, point.month, point.day).toordinal()
    # The median season is taken year by year, so it may differ from the difference of the medians by a few days.
    assert abs(frost_day(first, YEAR) - frost_day(last, YEAR) - int(row["season_50"])) <= 4
    # normal, so as far on the other side of even odds
    assert frost_day(last, YEAR, 0.1) - frost_day(last, YEAR) == frost_day(last, YEAR) - frost_day(last, YEAR, 0.9)


def test_frost_that_still_comes_grows_rarer_as_spring_goes_on_and_autumn_frost_surer():
    # National Weather Service, Wilmington NC, Freeze climatology: Southport
    assert frost_chance(southport(True), date(2027, 3, 1)) > 0.9 > frost_chance(southport(True), date(2027, 3, 26))
    assert frost_chance(southport(False), date(2027, 10, 1)) < 0.1 < frost_chance(southport(False), date(2027, 11, 10))


def test_the_points_are_month_days_of_the_year_asked_for_in_leap_years_too():
    points = frost(True, (0.9, 2, 20), (0.5, 3, 10), (0.1, 3, 28))
    for year in (2023, 2024, 2025, 2026, 2028, 2100):
        # 18 days each way from 10 March, but 19 before it where February has 29
        assert abs(frost_day(points, year) - date(year, 3, 10).toordinal()) <= 1
    assert frost_day(points, 2025) == date(2025, 3, 10).toordinal()


def test_29_february_is_the_28th_of_a_common_year():
    assert month_day(2027, 2, 29) == date(2027, 2, 28)
    assert month_day(2028, 2, 29) == date(2028, 2, 29)
    assert month_day(2100, 2, 29) == date(2100, 2, 28)
    points = frost(True, (0.5, 2, 29))
    assert frost_day(points, 2027) == date(2027, 2, 28).toordinal()
    assert frost_day(points, 2028) == date(2028, 2, 29).toordinal()


def test_frost_dates_that_straddle_the_new_year_are_one_season():
    first = frost(False, (0.1, 12, 8), (0.5, 12, 30), (0.9, 1, 21))
    assert date.fromordinal(frost_day(first, 2026)) == date(2026, 12, 30)
    assert date.fromordinal(frost_day(first, 2026, 0.9)) == date(2027, 1, 21)
    assert date.fromordinal(frost_day(first, 2026, 0.1)) == date(2026, 12, 8)
    assert frost_chance(first, date(2027, 1, 21)) == pytest.approx(0.9, abs=0.01)
    assert frost_chance(first, date(2026, 12, 8)) == pytest.approx(0.1, abs=0.01)
    assert order_fault(first) is None
    last = frost(True, (0.9, 12, 20), (0.5, 1, 4), (0.1, 1, 19))
    assert date.fromordinal(frost_day(last, 2027)) == date(2027, 1, 4)
    assert date.fromordinal(frost_day(last, 2027, 0.9)) == date(2026, 12, 20)
    assert order_fault(last) is None


def test_whitevilles_first_hard_freezes_across_the_new_year_fit_within_a_day():
    # NOAA 1981-2010 normals, Whiteville 7 NW NC, first 20 F: 10 % 25 Nov, 50 % 29 Dec, 60 % 5 Jan. Not every winter
    # has one (about 90 in 100), so the chances are taken as shares of those that do (Thom 1959's mixed form).
    years_with_one = 0.899
    table = [(0.1, 11, 25), (0.2, 12, 7), (0.3, 12, 15), (0.4, 12, 22), (0.5, 12, 29), (0.6, 1, 5), (0.7, 1, 14)]
    points = frost(False, *((chance / years_with_one, month, day) for chance, month, day in table))
    for chance, month, day in table:
        year = 2026 if month > 6 else 2027
        assert abs(frost_day(points, 2026, chance / years_with_one) - date(year, month, day).toordinal()) <= 1


def test_one_date_alone_has_no_other_chance():
    alone = frost(True, (0.5, 5, 8))
    assert frost_day(alone, 2027) == date(2027, 5, 8).toordinal()
    with pytest.raises(FrostChanceUnknown, match="only one last frost date is given, so no chance but 50 %"):
        frost_day(alone, 2027, 0.1)
    assert frost_chance(alone, date(2027, 5, 8)) is None


@pytest.mark.parametrize(
    ("points", "told"),
    [
        (frost(True, (0.9, 5, 22), (0.5, 5, 8), (0.1, 4, 24)), "50 % (05-08) is before 90 % (05-22)"),
        (frost(True, (0.5, 5, 8), (0.1, 4, 24)), "10 % (04-24) is before 50 % (05-08)"),
        (frost(False, (0.9, 9, 19), (0.5, 10, 3), (0.1, 10, 17)), "50 % (10-03) is before 10 % (10-17)"),
        (frost(True, (0.5, 5, 8), (0.1, 5, 8)), "all chances have the same date"),
        (frost(True, (0.5, 5, 8), (0.5, 5, 20)), "one chance has two dates"),
        (frost(True, (0.9, 4, 24), (0.5, 5, 8), (0.1, 5, 22)), None),
        (frost(False, (0.1, 9, 19), (0.5, 10, 3), (0.9, 10, 17)), None),
        (frost(True, (0.1, 5, 22), (0.9, 4, 24), (0.5, 5, 8)), None),  # written in any order
    ],
)
def test_chances_whose_dates_run_the_wrong_way_are_told(points, told):
    assert order_fault(points) == told


def test_dates_that_do_not_spread_cannot_be_fitted():
    with pytest.raises(ValueError, match="are not in the order"):
        line_of(frost(True, (0.9, 5, 22), (0.1, 4, 24)), 2027)


@st.composite
def frosts(draw: st.DrawFn) -> FrostDates:
    """Two to five points in good order anywhere in the year."""
    last = draw(st.booleans())
    chances = sorted(draw(st.sets(st.integers(1, 99), min_size=2, max_size=5)), reverse=last)
    middle = date(2025, 1, 1) + timedelta(days=draw(st.integers(0, 364)))
    days = sorted(draw(st.sets(st.integers(-40, 40), min_size=len(chances), max_size=len(chances))))
    points = []
    for chance, offset in zip(chances, days, strict=True):
        day = middle + timedelta(days=offset)
        points.append((chance / 100, day.month, day.day))
    return frost(last, *points)


CHANCES = st.floats(0.01, 0.99)
YEARS = st.integers(1950, 2100)


@given(frosts(), YEARS, st.lists(CHANCES, min_size=2, max_size=8))
def test_a_rarer_last_frost_is_never_earlier_and_a_surer_first_frost_never_earlier(points, year, chances):
    ordered = sorted(chances, reverse=points.last)
    days = [frost_day(points, year, chance) for chance in ordered]
    assert days == sorted(days)


@given(frosts(), YEARS, CHANCES)
def test_the_chance_at_the_date_of_a_chance_lies_within_half_a_day_of_it(points, year, chance):
    day = frost_day(points, year, chance)
    if abs(day - frost_day(points, year)) > 170:
        return  # a spread so wide that the next season's frost is nearer
    rarer, here, surer = (frost_chance(points, date.fromordinal(day + off)) for off in (-1, 0, 1))
    low, high = sorted((rarer, surer))
    assert low - 1e-9 <= here <= high + 1e-9
    assert low - 1e-9 <= chance <= high + 1e-9


@given(frosts(), YEARS)
def test_every_date_that_is_given_comes_back_and_so_does_its_chance(points, year):
    for point in points.points:
        day = date.fromordinal(frost_day(points, year, point.chance))
        assert (day.month, day.day) == (point.month, point.day) or (day.month, day.day) == (2, 28)
        too_wide = abs(day.toordinal() - frost_day(points, year)) > 170  # the next season's frost may be nearer
        if (point.month, point.day) not in ((2, 28), (2, 29)) and not too_wide:  # which share a day in a common year
            assert frost_chance(points, day) == pytest.approx(point.chance)


@given(frosts(), YEARS, CHANCES)
def test_a_date_between_two_that_are_given_lies_on_the_line_in_the_normals_quantile(points, year, chance):
    # scipy's normal, not the engine's; beyond the dates given, the line through the nearest two
    known = sorted((float(norm.ppf(1 - p.chance if points.last else p.chance)), p) for p in points.points)
    score = float(norm.ppf(1 - chance if points.last else chance))
    k = min(max(sum(z <= score for z, _ in known) - 1, 0), len(known) - 2)
    (low, before), (high, after) = known[k : k + 2]
    days = [frost_day(points, year, p.chance) for p in (before, after)]
    straight = days[0] + (score - low) * (days[1] - days[0]) / (high - low)
    assert abs(frost_day(points, year, chance) - straight) <= 0.5 + 1e-6


def test_a_farms_own_date_at_even_odds_is_not_bent_by_its_others():
    # three dates that no one normal fits: the middle one used to be moved by nine days
    points = frost(True, (0.9, 3, 20), (0.5, 4, 20), (0.1, 4, 25))
    assert frost_day(points, YEAR) == date(YEAR, 4, 20).toordinal()
    assert frost_chance(points, date(YEAR, 4, 20)) == pytest.approx(0.5)


def test_two_chances_on_one_day_give_the_greater_and_the_rest_goes_on():
    points = frost(True, (0.9, 4, 1), (0.5, 4, 20), (0.4, 4, 20), (0.1, 5, 5))
    assert frost_chance(points, date(YEAR, 4, 20)) == pytest.approx(0.5)
    assert frost_day(points, YEAR, 0.45) == date(YEAR, 4, 20).toordinal()
    assert frost_chance(points, date(YEAR, 4, 21)) < 0.4
    at_the_end = frost(False, (0.1, 9, 1), (0.5, 9, 20), (0.9, 9, 20))
    assert frost_chance(at_the_end, date(YEAR, 9, 20)) == pytest.approx(0.9)
    assert 0.5 < frost_chance(at_the_end, date(YEAR, 9, 21)) < 1.0


@given(frosts())
def test_points_written_in_good_order_have_no_fault_and_a_season_of_their_year(points):
    assert order_fault(points) is None
    middle = min(points.points, key=lambda p: abs(p.chance - 0.5))
    for year in (2026, 2027):
        near = month_day(year, middle.month, middle.day).toordinal()
        at_its_chance = frost_day(points, year, middle.chance)
        assert at_its_chance == near
