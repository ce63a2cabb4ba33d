"""A step with several windows: the next takes the place of one that passed, and only the season's last is missed."""

from __future__ import annotations

from engine.schedule.why_this_act import why
from tests.engine.schedule.farms import dates, day, entry, farm, iso, planned, states, told

# Lift in autumn or in spring, plant within a week: 10 Nov and 20 Mar are the days that frost and light give elsewhere.
LIFT = """
[[protocol.step]]
do = "root"
opens = ["1 May"]
closes = ["1 Jul"]
[[protocol.step]]
do = "lift"
wait_days = 90
windows = [{opens = ["25 Oct"], closes = ["28 Nov"]}, {opens = ["20 Mar"], closes = ["15 Apr"]}]
[[protocol.step]]
do = "line out"
wait_days = [0, 7]
windows = [{opens = ["25 Oct"], closes = ["5 Dec"]}, {opens = ["20 Mar"], closes = ["25 Apr"]}]
"""
ROOTED = entry("2027-05-10", "done", "root", count=240)


def test_the_first_window_that_fits_is_used() -> None:
    assert dates(planned(farm(LIFT, "2027-05-01"), "2027-05-01").now) == ["2027-05-01", "2027-10-25", "2027-10-25"]
    late = planned(farm(LIFT, "2027-05-01"), "2028-03-01", ROOTED)
    assert dates(late.now)[1:] == ["2028-03-20", "2028-03-20"]


def test_a_window_that_passed_is_not_missed_while_another_of_the_season_is_to_come() -> None:
    plan = planned(farm(LIFT, "2027-05-01"), "2027-12-10", ROOTED)
    assert states(plan, "2027-12-10") == ["done", "later", "not yet"]
    assert iso(plan.now.earliest[1]) == "2028-03-20"
    assert not any("a year later" in problem for problem in plan.problems)


def test_after_the_last_window_of_the_season_the_act_is_missed_and_the_next_season_is_told() -> None:
    plan = planned(farm(LIFT, "2027-05-01"), "2028-04-20", ROOTED)
    assert states(plan, "2028-04-20")[1] == "missed"
    assert "the next window is 25 Oct 28" in why(plan, 1, day("2028-04-20"))[0]


def test_an_act_is_missed_where_what_follows_must_wait_for_another_season() -> None:
    """Lifted in autumn it could have been sown under glass by Christmas; lifted in spring it must wait a year."""
    steps = LIFT[: LIFT.index('[[protocol.step]]\ndo = "line out"')]
    steps += '[[protocol.step]]\ndo = "sow"\nwait_days = [0, 300]\nopens = ["1 Dec"]\ncloses = ["24 Dec"]\n'
    plan = planned(farm(steps, "2027-05-01"), "2028-01-10", ROOTED)
    assert states(plan, "2028-01-10")[1] == "missed"


def test_the_close_of_a_window_names_the_next_one_of_the_season() -> None:
    plan = planned(farm(LIFT, "2027-05-01"), "2027-11-01", ROOTED)
    assert "closes 28 Nov: a fixed date; again 20 Mar to 15 Apr" in why(plan, 1, day("2027-11-01"))
    spring = planned(farm(LIFT, "2027-05-01"), "2028-04-01", ROOTED)
    assert "closes 15 Apr: a fixed date" in why(spring, 1, day("2028-04-01"))


def test_a_batch_to_be_ready_takes_the_latest_window_that_meets_it() -> None:
    assert dates(planned(farm(LIFT, ready="2028-05-01"), "2027-01-01").now, "latest")[1] == "2028-04-15"
    assert dates(planned(farm(LIFT, ready="2028-02-01"), "2027-01-01").now, "latest")[1] == "2027-11-28"


def test_windows_that_overlap_or_touch_are_one() -> None:
    steps = """
[[protocol.step]]
do = "lift"
windows = [{opens = ["1 Nov"], closes = ["10 Feb"]}, {opens = ["11 Feb"], closes = ["31 Mar"]}]
"""
    plan = planned(farm(steps, "2026-09-01"), "2026-09-01")
    assert (iso(plan.now.earliest[0]), iso(plan.now.latest[0])) == ("2026-11-01", "2027-03-31")
    assert "closes 31 Mar: a fixed date" in why(plan, 0, day("2026-09-01"))


def test_windows_that_leave_no_day_out_close_where_the_next_opens() -> None:
    steps = """
[[protocol.step]]
do = "weed"
windows = [{opens = ["1 Nov"]}, {opens = ["1 Apr"], closes = ["1 Jun"]}]
"""
    plan = planned(farm(steps, "2026-09-01"), "2026-09-01")
    assert (iso(plan.now.earliest[0]), iso(plan.now.latest[0])) == ("2026-09-01", "2026-10-31")


def test_of_several_windows_one_that_never_comes_here_is_passed_over() -> None:
    windows = 'windows = [{opens = ["day length rises to 20 h"]}, {opens = ["1 Apr"], closes = ["1 May"]}]\n'
    plan = planned(farm(f'[[protocol.step]]\ndo = "plant"\n{windows}', "2026-09-01"), "2026-09-01")
    assert dates(plan.now) == ["2027-04-01"]


def test_where_no_window_ever_comes_each_is_told() -> None:
    windows = 'windows = [{opens = ["day length rises to 20 h"]}, {opens = ["day length falls to 4 h"]}]\n'
    plan = planned(farm(f'[[protocol.step]]\ndo = "plant"\n{windows}', "2026-09-01"), "2026-09-01")
    assert "never lengthens to 20 h" in told(plan)
    assert "never shortens to 4 h" in told(plan)
