"""The year: fifty-two weeks with the light, the frost and the hours of each, and every lot's steps in them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from engine.acts.demo_history import rehearse
from engine.farm.reading import read_farm
from engine.journal.entry import Entry
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, plan_all
from engine.views.week import week_view
from engine.views.year import WEEKS, Year, year_view
from tests.engine.schedule.farms import NORTH, SOUTH, day, entry, farm
from tests.sampled import sampled
from tui.demo import demo_file

ODDS = """
last_frost = {"90%" = "04-10", "50%" = "04-24", "10%" = "05-08"}
first_frost = {"10%" = "09-30", "50%" = "10-14", "90%" = "10-28"}
"""
SITE = NORTH.split("last_frost")[0] + ODDS
HOURS = "[farm]\nhours_per_week = 2\n"
STEPS = """
[[protocol.step]]
do = "stratify cold"
lasts_days = [90, 120]
per_hour = 60
[[protocol.step]]
do = "sow"
opens = ["1 Apr"]
closes = ["12 May"]
per_hour = 80
"""


def year(today: str, *entries: Entry, site: str = SITE, first: date | None = None, start: str = "2026-12-01") -> Year:
    home = farm(STEPS, start, site=HOURS + site)
    nursery = open_nursery(home, apply(home, entries))
    return year_view(Day(nursery, plan_all(nursery, day(today)), day(today)), first)


def test_it_is_fifty_two_weeks_that_follow_one_another_some_of_them_before_today():
    found = year("2027-01-20")
    assert len(found.weeks) == WEEKS
    assert all(b.start - a.start == timedelta(7) for a, b in zip(found.weeks, found.weeks[1:], strict=False))
    assert found.weeks[0].start.weekday() == 0
    assert found.week_of(day("2027-01-20")) == 8
    assert found.week_of(found.weeks[0].start - timedelta(1)) is None
    assert found.week_of(found.weeks[-1].end + timedelta(1)) is None


def test_the_hours_of_a_week_are_those_of_its_own_board_and_a_week_with_too_many_is_over():
    home = farm(STEPS, "2026-12-01", site=HOURS + SITE)
    nursery = open_nursery(home, apply(home, ()))
    plans = plan_all(nursery, day("2026-11-20"))
    found = year_view(Day(nursery, plans, day("2026-11-20")))
    for week in found.weeks:
        board = week_view(Day(nursery, plans, day("2026-11-20")), week.start)
        assert week.hours == pytest.approx(board.hours_planned)
        assert week.hours_available == board.hours_available
    # 240 seeds at 60 an hour into the cold, and at 80 an hour into the bed with a look before: where there are 2 hours.
    full = [(week.hours, week.hours_available) for week in found.weeks if week.over]
    assert [(round(hours, 1), there) for hours, there in full] == [(4.0, 2), (3.1, 2)]
    assert found.busiest.hours == max(week.hours for week in found.weeks)


def test_frost_is_as_good_as_sure_in_winter_even_at_the_even_date_and_over_in_summer():
    found = year("2027-01-20")
    frost = {week.start + timedelta(3): week.frost for week in found.weeks}
    middle = min(frost, key=lambda when: abs((when - date(2027, 4, 24)).days))
    assert frost[middle] == pytest.approx(0.5, abs=0.12)
    assert all(chance is not None and chance > 0.99 for when, chance in frost.items() if when.month in (12, 1, 2))
    assert all(chance is not None and chance < 0.01 for when, chance in frost.items() if when.month in (6, 7, 8))
    autumn = [chance for when, chance in frost.items() if date(2027, 9, 15) < when < date(2027, 11, 10)]
    assert autumn == sorted(autumn, key=lambda chance: chance or 0)


def test_a_site_with_one_frost_date_tells_no_chance_and_the_south_has_its_light_in_january():
    assert {week.frost for week in year("2027-01-20", site=NORTH).weeks} == {None}
    south = year("2027-01-20", site=SOUTH)
    assert max(south.weeks, key=lambda week: week.minutes).start.month in (12, 1)
    north = year("2027-01-20")
    assert max(north.weeks, key=lambda week: week.minutes).start.month == 6


def test_a_lots_acts_stand_at_the_day_done_or_aimed_at_with_the_days_between_which_they_may_be_done():
    """Cold from 4 January, 90 to 120 days, ends 4 April to 4 May; the bed is open from 1 April to 12 May."""
    (line,) = year("2027-01-20", entry("2027-01-04", "done", "stratify cold", count=200)).lines
    cold, sow = line.acts
    assert (cold.day, cold.done, cold.earliest, cold.latest) == (*(day("2027-01-04"), True), *[day("2027-01-04")] * 2)
    assert (sow.done, sow.earliest, sow.latest) == (False, day("2027-04-04"), day("2027-05-04"))
    assert sow.earliest <= sow.day <= sow.latest
    assert (line.begins, line.ends) == (cold.day, sow.day)


def test_only_lots_that_do_something_in_these_weeks_are_shown():
    assert len(year("2027-01-20").lines) == 1
    assert year("2027-01-20", first=day("2029-01-01")).lines == ()
    given_up = year("2027-01-20", entry("2027-01-10", "drop"))
    assert [line.acts for line in given_up.lines] == []


@pytest.mark.parametrize("today", sampled(["2027-02-14", "2026-09-01", "2027-06-20"], 3))
def test_the_hours_of_every_week_of_a_whole_farm_are_those_of_its_own_board(today):
    home = read_farm(demo_file()).farm
    assert home is not None
    entries = rehearse(home, day(today))
    nursery = open_nursery(home, apply(home, entries))
    plans = plan_all(nursery, day(today))
    for week in year_view(Day(nursery, plans, day(today))).weeks:
        board = week_view(Day(nursery, plans, day(today)), week.start)
        assert week.hours == pytest.approx(board.hours_planned), week.start
        assert week.hours_available == board.hours_available


def test_what_is_overdue_has_the_last_day_that_passed_and_not_the_end_of_its_season():
    """Seed in the cold from 5 December for 120 days at the most: sowing is in time until 4 April."""
    [line] = year("2027-04-09", entry("2026-12-05", "done", "stratify cold", count=240)).lines
    [sow] = [act for act in line.acts if act.step == "sow"]
    assert (sow.day, sow.latest) == (day("2027-04-09"), day("2027-04-04"))
