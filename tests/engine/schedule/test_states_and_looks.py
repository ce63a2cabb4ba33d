"""The state of a task on a date, the first that holds; and the days on which to look at what lasts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest

from engine.protocols.model import Days, Step
from engine.protocols.roles import Role
from engine.schedule.looks import look_days, said
from tests.engine.schedule.farms import entry, farm, planned, states

STEPS = """
[[protocol.step]]
do = "stick"
opens = ["1 Mar"]
closes = ["10 May"]
best_until = ["5 Apr"]
per_hour = 10
[[protocol.step]]
do = "pot"
wait_days = [30, 90]
"""
HOME = farm(STEPS, "2026-10-01")
MISSED = "2027-06-01"
DONE = entry("2027-03-02", "done", "stick", count=240)
HOLD = entry("2027-03-01", "hold", "stick", reason="no help")


def state_on(today: str, *entries: object, hours_a_week: float | None = None) -> str:
    return states(planned(HOME, today, *entries), today, hours_a_week)[0]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("today", "expected"),
    [
        ("2027-02-14", "later"),
        ("2027-02-15", "coming"),
        ("2027-02-28", "coming"),
        ("2027-03-01", "open"),
        ("2027-03-28", "open"),
        ("2027-03-29", "closing"),  # seven days to the end of the best time
        ("2027-04-05", "closing"),
        ("2027-04-06", "open"),  # poorer now, but five weeks are left
        ("2027-05-02", "open"),
        ("2027-05-03", "closing"),
        ("2027-05-10", "closing"),
        ("2027-05-11", "missed"),
    ],
)
def test_state_of_an_act_goes_by_its_window_and_best_time(today: str, expected: str) -> None:
    assert state_on(today) == expected


def test_act_is_closing_where_fewer_hours_are_left_than_it_needs() -> None:
    """240 cuttings at 10 an hour take 24 hours: 42 days at 4 hours a week, and from 30 March on fewer are left."""
    assert state_on("2027-03-20", hours_a_week=4.0) == "open"
    assert state_on("2027-04-06", hours_a_week=4.0) == "closing"
    assert state_on("2027-04-06", hours_a_week=14.0) == "open"


def test_the_last_day_counts_among_those_on_which_the_hours_are_to_be_found() -> None:
    """24 hours at an hour a day are 24 days: from 17 April to 10 May there are as many, from the 18th one too few."""
    assert state_on("2027-04-17", hours_a_week=7.0) == "open"
    assert state_on("2027-04-18", hours_a_week=7.0) == "closing"


def test_act_waits_for_the_one_before_it_and_is_done_when_done() -> None:
    assert states(planned(HOME, "2027-03-05"), "2027-03-05") == ["open", "not yet"]
    assert states(planned(HOME, "2027-03-05", DONE), "2027-03-05") == ["done", "later"]
    assert states(planned(HOME, "2027-03-20", DONE), "2027-03-20") == ["done", "coming"]
    assert states(planned(HOME, "2027-04-01", DONE), "2027-04-01") == ["done", "open"]
    assert states(planned(HOME, "2027-05-24", DONE), "2027-05-24") == ["done", "closing"]


def test_the_first_state_that_holds_is_given() -> None:
    """Done before held, held before missed, missed before not yet, not yet before the rest."""
    assert state_on(MISSED, HOLD, DONE) == "done"
    assert state_on(MISSED, HOLD) == "held"
    assert state_on(MISSED) == "missed"
    held_later = states(planned(HOME, "2027-03-05", entry("2027-03-01", "hold", "pot")), "2027-03-05")
    assert held_later == ["open", "held"]


def test_dropped_step_is_no_act_of_the_chain_any_more() -> None:
    plan = planned(HOME, MISSED, entry("2027-05-20", "drop", "stick"))
    assert [plan.step(k).do for k in range(len(plan.chain.spans))] == ["pot"]


COLD = Step("stratify cold", role=Role.STRATIFY_COLD, lasts=Days(90, 120))
BEGUN = date(2027, 1, 4)


def cold_looks(lasts: Days = COLD.lasts, until: int = 140, step: Step = COLD) -> list[int]:
    """Days into the cold on which seed is looked at."""
    return [(d - BEGUN).days for d in look_days(step, lasts, BEGUN, BEGUN, BEGUN + timedelta(until))]


def test_looks_at_seed_in_the_cold_close_in() -> None:
    """Every 14 days, every 7 from half the least time (day 45), twice a week from the least (day 90)."""
    looks = cold_looks()
    assert [d for d in looks if d < 45] == [14, 28, 42]
    assert [d for d in looks if 45 <= d < 90] == [45, 52, 59, 66, 73, 80, 87]
    late = [d for d in looks if d >= 90]
    assert late[:6] == [90, 93, 97, 100, 104, 107]
    assert {b - a for a, b in pairwise(late)} == {3, 4}


@pytest.mark.parametrize("first", range(0, 130, 7))
def test_looks_of_one_week_are_those_of_the_whole(first: int) -> None:
    """A week asked for alone has the same looks as when all are asked for."""
    a, b = BEGUN + timedelta(first), BEGUN + timedelta(first + 6)
    week = [(d - BEGUN).days for d in look_days(COLD, COLD.lasts, BEGUN, a, b)]
    assert week == [d for d in cold_looks() if first <= d <= first + 6]


def test_seed_that_is_looked_at_more_often_keeps_its_own_days() -> None:
    often = Step("stratify cold", role=Role.STRATIFY_COLD, lasts=Days(60, 90), look_days=5)
    looks = cold_looks(often.lasts, 59, often)
    assert {b - a for a, b in pairwise(looks)} == {5}


@pytest.mark.parametrize(("least", "half"), [(75, 37), (76, 38), (77, 38)])
def test_half_of_an_odd_time_is_the_day_before_its_middle(least: int, half: int) -> None:
    """Never later than half: seed that is looked at a day too soon loses nothing."""
    lasts = Days(least, 100)
    looks = cold_looks(lasts)
    assert [d for d in looks if d < half] == [14, 28]
    assert [d for d in looks if half <= d < least] == list(range(half, least, 7))
    words = [said(COLD, lasts, BEGUN, BEGUN + timedelta(d)) for d in (half - 1, half, least - 1, least)]
    assert words == ["every 2 weeks", "weekly", "weekly", "twice a week"]


def test_a_fortnight_is_the_longest_between_looks_at_the_cold_and_others_are_said_as_they_are() -> None:
    seldom, often = (replace(COLD, look_days=every) for every in (30, 5))
    assert cold_looks(seldom.lasts, 44, seldom) == [14, 28, 42]
    for step, words in ((seldom, "every 2 weeks"), (often, "every 5 days")):
        assert said(step, step.lasts, BEGUN, BEGUN + timedelta(10)) == words
    for every, words in ((1, "daily"), (2, "every 2 days"), (3, "every 3 days")):
        callus = Step("callus", lasts=Days(18, 28), look_days=every)
        assert said(callus, callus.lasts, BEGUN, BEGUN + timedelta(4)) == words


def test_other_steps_are_looked_at_as_often_as_they_say() -> None:
    callus = Step("callus", lasts=Days(18, 28), look_days=3)
    assert cold_looks(callus.lasts, 20, callus) == [3, 6, 9, 12, 15, 18]
    assert cold_looks(Days(18, 28), 20, Step("callus", lasts=Days(18, 28))) == []
    assert cold_looks(Days(0, 0), 20, Step("sow", look_days=3)) == []


def test_how_often_is_said_for_the_phase_of_the_cold() -> None:
    words = [said(COLD, COLD.lasts, BEGUN, BEGUN + timedelta(d)) for d in (10, 44, 45, 89, 90, 130)]
    assert words == ["every 2 weeks"] * 2 + ["weekly"] * 2 + ["twice a week"] * 2


def test_every_other_day_is_as_in_the_rfc() -> None:
    """RFC 5545 (Desruisseaux 2009), 3.8.5.3, "every other day": from 2 September 1997, the even days of September."""
    begun, first = date(1997, 9, 2), date(1997, 9, 2)
    step = Step("root", lasts=Days(100, None), look_days=2)
    looks = look_days(step, step.lasts, begun, first, date(1997, 9, 30))
    assert [d.day for d in looks] == list(range(4, 31, 2))  # the first day itself is the start, not a look


def test_twice_a_week_is_as_in_the_rfc() -> None:
    """RFC 5545 (Desruisseaux 2009), 3.8.5.3, "weekly on Tuesday and Thursday for five weeks": from 2 September 1997.

    Cold whose least is over on Monday 1 September has its looks on Mondays and Thursdays: the Thursdays agree, and
    the Mondays lie a day before the Tuesdays.
    """
    begun = date(1997, 9, 1) - timedelta(90)
    looks = look_days(COLD, COLD.lasts, begun, date(1997, 9, 1), date(1997, 10, 2))
    rfc = [date(1997, 9, d) for d in (2, 4, 9, 11, 16, 18, 23, 25, 30)] + [date(1997, 10, 2)]
    assert [d + timedelta(d.weekday() == 0) for d in looks] == rfc


@pytest.mark.parametrize(
    ("looked", "following"),
    [
        (13, [27, 41, 48, 55, 62]),  # a day early: the next is a fortnight from it, and weekly from half the least on
        (42, [49, 56, 63]),
        (86, [90, 93, 97, 100]),  # twice a week from the least
        (91, [94, 98, 101, 105]),
    ],
)
def test_the_next_look_is_reckoned_from_the_last(looked: int, following: list[int]) -> None:
    last = BEGUN + timedelta(looked)
    days = look_days(COLD, COLD.lasts, BEGUN, last + timedelta(1), BEGUN + timedelta(following[-1]), last)
    assert [(day - BEGUN).days for day in days] == following


def test_other_looks_too_go_on_from_the_last() -> None:
    mist = Step("stick", role=Role.SET_GOING, lasts=Days(20, 40), look_days=7)
    days = look_days(mist, mist.lasts, BEGUN, BEGUN, BEGUN + timedelta(30), BEGUN + timedelta(5))
    assert [(day - BEGUN).days for day in days] == [12, 19, 26]


@pytest.mark.parametrize(
    ("least", "days"),
    [
        (16, [8, 15, 16, 19, 23]),  # weekly from half of it to the day before the least itself
        (28, [14, 21, 28, 31, 35]),  # what falls on the least is one look
        (30, [14, 15, 22, 29, 30, 33]),  # the fortnight's look, and half of it a day later
    ],
)
def test_no_look_is_left_out_or_doubled_where_the_cold_goes_over_to_more_of_them(least: int, days: list[int]) -> None:
    """Every fortnight, weekly from half the least, on two days of a week from the least: counted by hand."""
    assert cold_looks(Days(least, 60), days[-1]) == days


def test_seed_that_needs_a_day_of_cold_is_not_looked_at_as_it_goes_in() -> None:
    assert cold_looks(Days(1, 30), 8) == [1, 4, 8]


def test_a_single_day_has_its_look() -> None:
    day, seen = BEGUN + timedelta(28), BEGUN + timedelta(14)
    assert look_days(COLD, COLD.lasts, BEGUN, day, day) == [day]
    assert look_days(COLD, COLD.lasts, BEGUN, day, day, seen) == [day]
    assert look_days(COLD, COLD.lasts, BEGUN, day, day - timedelta(1)) == []


def test_seed_seen_on_the_day_before_its_least_is_not_looked_at_again_the_next_day() -> None:
    last = BEGUN + timedelta(89)
    days = look_days(COLD, COLD.lasts, BEGUN, last, BEGUN + timedelta(100), last)
    assert [(day - BEGUN).days for day in days] == [92, 95, 99]


def test_where_nothing_fits_no_act_is_open() -> None:
    """95 days in the cold from 10 March on end when sowing has closed."""
    home = farm(
        """
[[protocol.step]]
do = "stratify cold"
opens = ["10 Mar"]
closes = ["20 Mar"]
lasts_days = [95, 100]
[[protocol.step]]
do = "sow"
opens = ["1 Apr"]
closes = ["30 Apr"]
""",
        "2026-12-01",
    )
    for today in ("2026-12-10", "2027-03-10", "2027-03-15"):
        assert states(planned(home, today), today)[0] == "later"
