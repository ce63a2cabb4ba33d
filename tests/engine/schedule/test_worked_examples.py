"""Worked examples on ten-line farms: a cold that comes out in time, slips, collisions, readiness, frost both sides."""

from __future__ import annotations

from datetime import date

import pytest

from engine.schedule.why_this_act import why
from tests.engine.schedule.farms import COLD_THEN_SOW, SOUTH, dates, day, entry, farm, planned, told


def step(do: str, *lines: str) -> str:
    return "\n".join(["", "[[protocol.step]]", f'do = "{do}"', *lines, ""])


def test_cold_starts_late_enough_to_come_out_when_seed_can_be_sown() -> None:
    """Sowing opens 1 April and the cold lasts 120 days at most, so it starts on 2 December and not on 1 October."""
    plan = planned(farm(COLD_THEN_SOW, "2026-10-01"), "2026-10-01")
    assert dates(plan.now) == ["2026-12-02", "2027-04-01"]
    assert dates(plan.now, "latest") == ["2027-02-11", "2027-05-12"]
    assert not plan.problems


def test_cold_that_aims_late_starts_just_in_time_for_the_sowing() -> None:
    steps = COLD_THEN_SOW.replace("lasts_days", 'aim = "late"\nlasts_days')
    plan = planned(farm(steps, "2026-10-01"), "2026-10-01")
    assert dates(plan.now, "aims") == ["2027-01-01", "2027-04-01"]


def test_hundred_days_of_cold_from_20_february_slip_a_year_and_say_so() -> None:
    """100 days from 20 February end on 31 May, after sowing closed on 12 May: 1 February would have met it."""
    steps = COLD_THEN_SOW.replace("[90, 120]", "[100, 120]")
    plan = planned(farm(steps, "2027-02-20"), "2027-02-20")
    assert dates(plan.now) == ["2027-12-03", "2028-04-01"]
    assert told(plan) == (
        "a year later: stratify cold from 20 Feb, 100 days on is 31 May; sow closed 12 May; "
        "to make that window it had to start by 1 Feb"
    )
    assert not planned(farm(steps, "2027-02-01"), "2027-02-01").problems


def test_start_named_by_a_slip_would_in_truth_have_met_the_window() -> None:
    """A window between the start and the missed one counts: the bed is open from 20 March, lifting 60 days on."""
    steps = step("line out", 'opens = ["20 Mar"]', 'closes = ["20 Apr"]')
    steps += step("check take", "wait_days = [30, 60]")
    steps += step("lift", "wait_days = 60", 'opens = ["4 Nov"]', 'closes = ["20 Mar"]')
    plan = planned(farm(steps, "2027-01-05"), "2027-01-05")
    assert dates(plan.now) == ["2027-03-20", "2027-04-19", "2027-11-04"]
    assert not plan.problems


def test_slip_through_the_first_step_names_the_window_that_had_closed() -> None:
    steps = step("cut", 'opens = ["1 Dec"]', 'closes = ["28 Feb"]') + step(
        "stick", 'opens = ["1 Mar"]', 'closes = ["1 Apr"]'
    )
    plan = planned(farm(steps, "2027-03-10"), "2027-03-10")
    assert dates(plan.now) == ["2027-12-01", "2028-03-01"]
    assert told(plan) == "a year later: cut closed 28 Feb; to make that window it had to start by 28 Feb"


@pytest.mark.parametrize(("start", "told_of"), [("2027-06-01", True), ("2027-06-02", False)])
def test_a_start_that_is_nearer_to_the_next_season_is_late_for_none(start: str, told_of: bool) -> None:
    """1 February would have met it. Up to 120 days later the start is late; after that it is early for the next."""
    steps = COLD_THEN_SOW.replace("[90, 120]", "[100, 120]")
    plan = planned(farm(steps, start), start)
    assert dates(plan.now) == ["2027-12-03", "2028-04-01"]
    assert ("to make that window it had to start by 1 Feb" in told(plan)) == told_of


@pytest.mark.parametrize(("start", "told_of"), [("2027-03-30", True), ("2027-03-31", False)])
def test_thirty_days_after_a_window_closed_is_just_late_and_more_is_another_season(start: str, told_of: bool) -> None:
    steps = step("cut", 'opens = ["1 Dec"]', 'closes = ["28 Feb"]') + step(
        "stick", 'opens = ["1 Mar"]', 'closes = ["1 Apr"]'
    )
    plan = planned(farm(steps, start), start)
    assert dates(plan.now) == ["2027-12-01", "2028-03-01"]
    assert told(plan) == "a year later: cut closed 28 Feb; to make that window it had to start by 28 Feb" * told_of


def test_batch_that_no_year_fits_names_the_pair_that_collides_and_by_how_many_days() -> None:
    """110 days from 1 February are 22 May, ten days after sowing closes; 2028 is a leap year and a day nearer."""
    steps = step("stratify cold", "lasts_days = [110, 120]", 'opens = ["1 Feb"]', 'closes = ["10 Feb"]')
    plan = planned(farm(steps + step("sow", 'opens = ["1 Apr"]', 'closes = ["12 May"]'), "2027-01-01"), "2027-01-01")
    assert not plan.now.fits
    assert dates(plan.now) == [None, None]
    assert told(plan) in (
        "no year fits: stratify cold from 1 Feb: 110 days on is 22 May, 10 days after sow closes (12 May)",
        "no year fits: stratify cold from 1 Feb: 110 days on is 21 May, 9 days after sow closes (12 May)",
    )


def test_collision_through_a_step_without_a_window_names_the_two_that_have_one() -> None:
    steps = step("collect", 'opens = ["1 Sep"]', 'closes = ["30 Sep"]') + step(
        "clean", "wait_days = [0, 7]", "lasts_days = [10, 20]"
    )
    plan = planned(farm(steps + step("sow", 'opens = ["1 Dec"]', 'closes = ["20 Dec"]'), "2026-08-01"), "2026-08-01")
    assert told(plan) == (
        "no year fits: collect until 30 Sep: 27 days on at most is 27 Oct, 35 days before sow opens (1 Dec)"
    )


def test_ready_takes_the_latest_days_that_end_by_then() -> None:
    """Ready on 1 June 2028 after 14 days of hardening off: sown by 12 May, with 90 days of cold before."""
    steps = COLD_THEN_SOW + step("harden off", "lasts_days = [14, 28]")
    plan = planned(farm(steps, ready="2028-06-01"), "2026-09-01")
    assert dates(plan.now, "latest") == ["2028-02-12", "2028-05-12", "2028-05-18"]
    assert dates(plan.now)[1] == "2028-04-01"
    earlier = planned(farm(steps, ready="2028-05-01"), "2026-09-01")
    assert dates(earlier.now, "latest") == ["2028-01-18", "2028-04-17", "2028-04-17"]


def test_start_and_ready_take_the_latest_not_before_the_start() -> None:
    plan = planned(farm(COLD_THEN_SOW, "2026-12-20", "2027-04-20"), "2026-11-01")
    assert dates(plan.now) == ["2026-12-20", "2027-04-01"]
    assert dates(plan.now, "latest") == ["2027-01-20", "2027-04-20"]
    assert not plan.problems


def test_readiness_that_cannot_be_met_falls_back_to_the_soonest_and_says_so() -> None:
    plan = planned(farm(COLD_THEN_SOW, "2027-01-20", "2027-04-10"), "2027-01-20")
    assert dates(plan.now) == ["2027-01-20", "2027-04-20"]
    assert told(plan) == "cannot be ready by 10 Apr 27; it had to start by 10 Jan 27; the earliest dates are shown"


def test_broken_longest_wait_is_not_told_as_a_readiness_that_cannot_be_met() -> None:
    """Seed in the cold since 1 January may stay until 1 May; on 8 May it is late, yet ready long before December."""
    home = farm(COLD_THEN_SOW, ready="2027-12-01")
    plan = planned(home, "2027-05-08", entry("2027-01-01", "done", "stratify cold", count=240))
    assert dates(plan.now) == ["2027-01-01", "2027-05-08"]
    assert told(plan) == "sow cannot come within 120 days of stratify cold (1 Jan): 7 days over"


def test_less_than_a_week_left_of_a_window_at_the_start_is_told() -> None:
    steps = step("stick", 'opens = ["1 Mar"]', 'closes = ["20 Mar"]')
    assert "stick: the batch starts 6 days before its window closes" in told(
        planned(farm(steps, "2027-03-14"), "2027-03-14")
    )
    last = told(planned(farm(steps, "2027-03-20"), "2027-03-20"))
    assert last == "stick: the batch starts on the last day of its window"
    assert not planned(farm(steps, "2027-03-13"), "2027-03-13").problems


def test_window_and_chain_straddle_the_new_year() -> None:
    steps = step("cut", 'opens = ["15 Dec"]', 'closes = ["20 Jan"]') + step("stick", "wait_days = [10, 40]")
    plan = planned(farm(steps, "2026-10-01"), "2026-10-01")
    assert dates(plan.now) == ["2026-12-15", "2026-12-25"]
    assert dates(plan.now, "latest") == ["2027-01-20", "2027-03-01"]
    begun = planned(farm(steps, "2027-01-05"), "2027-01-05")
    assert dates(begun.now) == ["2027-01-05", "2027-01-15"]


def test_same_protocol_in_the_south_runs_half_a_year_apart() -> None:
    """Cold lasts 90 to 120 days, sowing from four weeks before the last frost to four after it."""
    steps = COLD_THEN_SOW.replace("1 Apr", "last frost - 4 weeks").replace("12 May", "last frost + 4 weeks")
    north = planned(farm(steps, "2026-10-01"), "2026-10-01")
    south = planned(farm(steps, "2027-04-01", site=SOUTH), "2027-04-01")
    assert dates(north.now) == ["2026-11-27", "2027-03-27"]
    assert dates(south.now) == ["2027-05-29", "2027-09-26"]


def test_batch_that_starts_on_a_leap_day() -> None:
    plan = planned(farm(step("soak", "lasts_days = [1, 2]") + step("sow"), "2028-02-29"), "2028-02-29")
    assert dates(plan.now) == ["2028-02-29", "2028-03-01"]
    windowed = farm(step("soak", 'opens = ["29 Feb"]', 'closes = ["29 Feb"]'), "2028-02-29")
    assert dates(planned(windowed, "2028-02-29").now) == ["2028-02-29"]
    assert dates(planned(farm(COLD_THEN_SOW, "2028-02-29"), "2028-02-29").now)[1] == "2029-04-01"


@pytest.mark.parametrize("year", range(2026, 2033))
def test_cold_then_sow_keeps_its_course_every_year(year: int) -> None:
    """1 April less 120 days is 2 December, leap year or not, save that 29 February takes a day."""
    plan = planned(farm(COLD_THEN_SOW, f"{year}-08-01"), f"{year}-08-01")
    leap = (date(year + 1, 4, 1) - date(year, 12, 2)).days - 120
    assert dates(plan.now) == [f"{year}-12-{2 + leap:02}", f"{year + 1}-04-01"]


FAR_NORTH = """[site]
latitude = 68.0
longitude = 20.0
timezone = "Europe/Stockholm"
last_frost = "06-08"
first_frost = "08-29"
"""


def test_best_time_that_is_over_before_the_window_opens_is_not_told_as_next_years() -> None:
    """Bud swell is 4 weeks before 8 June, softwood firm 8 weeks on, 6 July: a day or two after its best was over."""
    steps = step(
        "collect", 'opens = ["softwood firm"]', 'closes = ["26 Jul"]', 'best_until = ["longest day + 2 weeks"]'
    )
    plan = planned(farm(steps, "2027-03-20", site=FAR_NORTH), "2027-03-20")
    assert dates(plan.now) == ["2027-07-06"]
    assert plan.now.best_until == (None,)
    assert not any("best until" in line for line in why(plan, 0, day("2027-03-20")))


def test_wait_from_the_start_is_the_reason_of_both_ends_of_a_first_step() -> None:
    plan = planned(farm(step("sow", "wait_days = [10, 20]"), "2027-03-20"), "2027-03-20")
    assert why(plan, 0, day("2027-03-20")) == (
        "from 30 Mar: 10 days after the start of the batch",
        "until 9 Apr: within 20 days of the start of the batch",
    )


@pytest.mark.parametrize(
    ("window", "reason"),
    [
        (('opens = ["day length rises to 20 h"]',), "the day never lengthens to 20 h 00 at latitude 45"),
        (('opens = ["26 May"]', 'closes = ["15 May"]'), "it closes before it opens"),
    ],
)
def test_window_that_never_opens_here_is_told_with_its_step(window: tuple[str, ...], reason: str) -> None:
    plan = planned(farm(step("soak") + step("sow", *window), "2027-03-20"), "2027-03-20")
    assert not plan.now.fits
    assert told(plan).startswith("sow: ")
    assert reason in told(plan)


def test_act_that_must_follow_on_the_same_day_is_told_without_days() -> None:
    steps = step("soak") + step("sow", 'opens = ["1 Apr"]', 'closes = ["12 May"]')
    plan = planned(farm(steps, "2027-03-20"), "2027-03-20")
    assert why(plan, 0, day("2027-03-20"))[1] == "until 12 May: sow must follow by 12 May"
