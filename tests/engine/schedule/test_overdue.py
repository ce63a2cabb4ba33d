"""Overdue is not missed: what no season forbids is to be done, or was done and not told; what lay too long says so."""

from __future__ import annotations

import pytest

from engine.schedule.why_this_act import why
from tests.engine.schedule.farms import COLD_THEN_SOW, dates, day, entry, farm, iso, planned, states

BUDDING = """
[[protocol.step]]
do = "bud"
opens = ["20 Jul"]
closes = ["20 Sep"]
[[protocol.step]]
do = "check take"
wait_days = [14, 21]
survive = 0.85
[[protocol.step]]
do = "cut ties"
wait_days = [14, 42]
[[protocol.step]]
do = "cut back"
opens = ["1 Mar"]
closes = ["10 Apr"]
wait_days = 60
[[protocol.step]]
do = "lift"
opens = ["1 Nov"]
closes = ["20 Mar"]
wait_days = 60
"""
HARDWOOD = """
[[protocol.step]]
do = "collect"
opens = ["20 Nov"]
closes = ["10 Feb"]
[[protocol.step]]
do = "store"
wait_days = [0, 2]
lasts_days = [0, 60]
[[protocol.step]]
do = "stick"
opens = ["1 Feb"]
closes = ["10 Apr"]
"""
BUDDED = entry("2027-08-01", "done", "bud", count=100)
STORED = (entry("2026-12-01", "done", "collect", count=100), entry("2026-12-02", "done", "store", count=100))


@pytest.mark.parametrize(
    ("today", "state"), [("2027-08-22", "closing"), ("2027-08-23", "overdue"), ("2028-05-30", "overdue")]
)
def test_an_act_that_waits_for_no_season_is_never_missed(today: str, state: str) -> None:
    """Buds are examined two to three weeks on (common practice): by 22 August of those set on 1 August."""
    plan = planned(farm(BUDDING, "2027-07-01"), today, BUDDED)
    found = states(plan, today)
    assert found[1] == state
    assert found[2] == "not yet"
    if state == "overdue":
        assert dates(plan.now, "aims")[1] == today
        assert iso(plan.due(1, day(today).toordinal())) == "2027-08-22"


def test_what_is_overdue_is_told_with_what_it_costs() -> None:
    plan = planned(farm(BUDDING, "2027-07-01"), "2028-05-30", BUDDED)
    told = why(plan, 1, day("2028-05-30"))
    assert told[0] == "overdue since 22 Aug, by 282 days: do it now, or enter the day you did"
    assert told[1] == "too late for cut back this season, if it is not done yet: next 1 Mar 29"
    assert states(plan, "2028-05-30")[3] == "missed"  # its own window forbids it
    late = why(planned(farm(BUDDING, "2027-07-01"), "2027-09-01", BUDDED), 1, day("2027-09-01"))
    assert not any("too late" in line for line in late)


def test_saying_when_it_was_done_dates_the_rest_as_if_it_had_been_told_in_time() -> None:
    told = entry("2027-08-18", "done", "check take", count=85)
    late = planned(farm(BUDDING, "2027-07-01"), "2028-02-01", BUDDED, told)
    assert states(late, "2028-02-01")[1:4] == ["done", "overdue", "not yet"]
    assert iso(late.meant.earliest[2]) == "2027-09-01"


def test_cuttings_that_lay_too_long_say_so_while_their_window_is_open() -> None:
    home = farm(HARDWOOD, "2026-11-01")
    assert states(planned(home, "2027-01-31", *STORED), "2027-01-31")[2] == "coming"  # the season forbids it
    assert states(planned(home, "2027-02-01", *STORED), "2027-02-01")[2] == "overdue"
    plan = planned(home, "2027-02-15", *STORED)
    assert why(plan, 2, day("2027-02-15"))[0] == "15 days past its limit in store: do it now, or enter the day you did"
    assert states(planned(home, "2027-04-11", *STORED), "2027-04-11")[2] == "missed"


def test_seed_past_the_most_of_its_cold_is_overdue_until_sowing_closes() -> None:
    cold = entry("2026-12-05", "done", "stratify cold", count=240)
    home = farm(COLD_THEN_SOW, "2026-12-01")
    assert states(planned(home, "2027-04-04", cold), "2027-04-04") == ["done", "closing"]
    plan = planned(home, "2027-04-09", cold)
    assert states(plan, "2027-04-09") == ["done", "overdue"]
    assert (
        why(plan, 1, day("2027-04-09"))[0] == "5 days past its limit in the cold: do it now, or enter the day you did"
    )


def test_what_must_soon_be_followed_by_a_sowing_that_is_closed_was_missed() -> None:
    """Soaked seed is sown within two days: no seed is soaked when no sowing follows."""
    steps = """
[[protocol.step]]
do = "clean"
opens = ["1 Oct"]
[[protocol.step]]
do = "soak"
[[protocol.step]]
do = "sow"
wait_days = [0, 2]
opens = ["1 Apr"]
closes = ["12 May"]
"""
    cleaned = entry("2026-10-05", "done", "clean", count=240)
    plan = planned(farm(steps, "2026-10-01"), "2027-05-20", cleaned)
    assert states(plan, "2027-05-20")[1] == "missed"
    assert iso(plan.now.aims[1]) == "2028-03-30"


def test_stored_cuttings_are_soaked_while_the_bed_may_still_take_them_and_then_were_missed() -> None:
    """They are stuck as soon as they are soaked (common practice): for a bed that has closed none are soaked."""
    soaked = '[[protocol.step]]\ndo = "soak"\nwait_days = [0, 1]\nlasts_days = [1, 2]\n'
    home = farm(
        HARDWOOD.replace('[[protocol.step]]\ndo = "stick"', f'{soaked}[[protocol.step]]\ndo = "stick"'), "2026-11-01"
    )
    for today, state in (("2027-04-09", "overdue"), ("2027-04-10", "missed"), ("2027-06-29", "missed")):
        plan = planned(home, today, *STORED)
        assert states(plan, today)[2] == state
    told = why(plan, 2, day("2027-06-29"))
    assert not any("do it now" in line for line in told), told


def test_seed_cannot_stay_in_the_warm_until_another_season() -> None:
    """Its warmth is over, though the cold after it ends too late to sow: it goes into the cold, and that is told."""
    steps = '[[protocol.step]]\ndo = "stratify warm"\nlasts_days = [60, 70]\n' + COLD_THEN_SOW
    warm = entry("2026-12-01", "done", "stratify warm", count=240)
    plan = planned(farm(steps, "2026-11-01"), "2027-03-01", warm)
    assert states(plan, "2027-03-01") == ["done", "overdue", "not yet"]
    assert dates(plan.now, "aims")[1] == "2027-03-01"
    told = why(plan, 1, day("2027-03-01"))
    assert told[0] == "20 days past its limit in the warm: do it now, or enter the day you did"
    assert told[1].startswith("too late for sow this season")


def test_what_is_overdue_can_be_put_off() -> None:
    home = farm(BUDDING, "2027-07-01")
    put_off = entry("2027-09-01", "later", "check take", to="2027-09-10")
    assert states(planned(home, "2027-09-01", BUDDED, put_off), "2027-09-01")[1] == "coming"
    assert states(planned(home, "2027-09-10", BUDDED, put_off), "2027-09-10")[1] == "overdue"


def test_between_two_windows_of_a_season_nothing_is_overdue() -> None:
    steps = """
[[protocol.step]]
do = "bud"
[[protocol.step]]
do = "lift"
windows = [{opens = ["1 Nov"], closes = ["20 Dec"]}, {opens = ["1 Mar"], closes = ["20 Mar"]}]
[[protocol.step]]
do = "grade"
wait_days = [0, 7]
"""
    budded = entry("2026-08-01", "done", "bud", count=9)
    for today, state in (("2027-01-10", "later"), ("2027-03-05", "open"), ("2027-03-25", "missed")):
        assert states(planned(farm(steps, "2026-07-01"), today, budded), today)[1] == state


POTS = """
[[protocol.step]]
do = "stick"
opens = ["1 Jun"]
closes = ["15 Jul"]
[[protocol.step]]
do = "pot up"
wait_days = [28, 60]
[[protocol.step]]
do = "overwinter"
opens = ["1 Oct"]
closes = ["15 Nov"]
lasts_days = 60
[[protocol.step]]
do = "line out"
opens = ["1 Mar"]
closes = ["1 May"]
"""


def test_a_winter_that_was_not_recorded_is_overdue_and_costs_no_year() -> None:
    """Plants in pots came through the winter whether it was told or not (common practice)."""
    potted = (entry("2027-06-10", "done", "stick", count=100), entry("2027-07-20", "done", "pot up", count=80))
    home = farm(POTS, "2027-05-01")
    assert states(planned(home, "2027-11-15", *potted), "2027-11-15")[2] == "closing"
    for today in ("2027-11-16", "2027-12-20"):
        plan = planned(home, today, *potted)
        assert states(plan, today)[2:] == ["overdue", "not yet"]
        assert dates(plan.now, "latest")[3] == "2028-05-01"
    assert why(plan, 2, day(today))[0].startswith("overdue since 15 Nov, by 35 days")
    late = planned(home, "2028-06-01", *potted)  # what its own season forbids is put to another
    assert states(late, "2028-06-01")[2] == "overdue"
    assert dates(late.now, "earliest")[3] == "2029-03-01"
    told = entry("2027-11-10", "done", "overwinter", count=80)
    assert states(planned(home, "2028-03-10", *potted, told), "2028-03-10")[3] == "open"
