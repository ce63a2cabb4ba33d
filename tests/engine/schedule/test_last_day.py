"""The last day on which an act is in time: one rule for list, facts and year, whatever its season allows."""

from __future__ import annotations

import pytest

from engine.schedule.plan import Plan
from engine.schedule.why_this_act import why
from engine.views.week import act_task
from tests.engine.schedule.farms import COLD_THEN_SOW, day, entry, farm, iso, planned, states

HOME = farm(COLD_THEN_SOW.replace('closes = ["12 May"]', 'closes = ["12 May"]\nbest_until = ["5 May"]'), "2026-12-01")
COLD = entry("2026-12-05", "done", "stratify cold", count=240)


def sowing(today: str, *seen: str) -> Plan:
    looks = (entry(on, "look", "stratify cold", finding="radicles") for on in seen)
    return planned(HOME, today, COLD, *looks)


def last_day(today: str, *seen: str) -> str | None:
    return iso(sowing(today, *seen).last_day(1, day(today).toordinal()))


@pytest.mark.parametrize(
    ("seen", "days", "last"),
    [
        ("2027-02-20", ("2027-02-20", "2027-03-20", "2027-04-01", "2027-04-08", "2027-04-20"), "2027-04-08"),
        ("2027-03-28", ("2027-03-28", "2027-04-02", "2027-04-08", "2027-04-20"), "2027-04-08"),
        ("2027-04-03", ("2027-04-03", "2027-04-10", "2027-04-20"), "2027-04-10"),
    ],
)
def test_radicles_give_a_week_from_the_day_on_which_seen_seed_can_be_sown(seen: str, days: tuple[str, ...], last: str):
    """Common practice: at once, within a week at most; the bed opens on 1 April, and it is held back until then."""
    for today in days:
        assert last_day(today, seen) == last
        task = act_task(HOME, sowing(today, seen), 1, day(today))
        assert task.latest == day(last)
        assert task.over(day(today)) == max(0, (day(today) - day(last)).days)
        assert (states(sowing(today, seen), today)[1] == "overdue") == (today > last)


def test_radicles_are_told_with_their_week_and_not_with_a_wait_that_stands_nowhere():
    for today in ("2027-04-02", "2027-04-08"):
        plan = sowing(today, "2027-02-20")
        told = why(plan, 1, day(today))
        assert told[0] == "radicles seen 20 Feb, open from 1 Apr: sow within 7 days, by 8 Apr"
        assert not any("cannot come within" in each or "84 days" in each for each in (*told, *plan.problems))
        assert not any(each.startswith(("until", "closes", "best before")) for each in told)


def test_nothing_is_best_before_a_day_after_its_last():
    """120 days in the cold from 5 December end on 4 April: sowing is best before 5 May, but not of this seed."""
    for today in ("2027-04-02", "2027-04-04", "2027-04-09"):
        assert last_day(today) == "2027-04-04"
        assert act_task(HOME, sowing(today), 1, day(today)).best_until is None
        assert not any("best before" in each for each in why(sowing(today), 1, day(today)))
    fresh = planned(HOME, "2027-04-02", entry("2027-01-01", "done", "stratify cold", count=240))
    assert "best before 5 May" not in why(fresh, 1, day("2027-04-02"))  # its cold ends on 1 May
    later = planned(HOME, "2027-04-20", entry("2027-01-08", "done", "stratify cold", count=240))
    assert iso(later.last_day(1, day("2027-04-20").toordinal())) == "2027-05-08"
    assert "best before 5 May" in why(later, 1, day("2027-04-20"))
