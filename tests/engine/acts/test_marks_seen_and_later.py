"""What a grower may see, put off and pass over."""

from __future__ import annotations

from datetime import date

import pytest

from engine.acts.action import Refused, say_refusal
from engine.acts.marks_seen import marks_to_see
from engine.acts.propagation import passed_over, put_off
from engine.almanac.almanac import Almanac
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from tests.engine.schedule.farms import day, entry, farm, planned

STEPS = """
[[protocol.step]]
do = "collect"
opens = ["1 Oct"]
closes = ["31 Oct"]
[[protocol.step]]
do = "clean"
wait_days = [0, 10]
[[protocol.step]]
do = "sow"
opens = ["1 Apr"]
closes = ["12 May"]
"""


def test_the_marks_that_can_be_seen_stand_from_the_nearest_round_the_year_and_none_is_the_suns_or_an_end():
    found = marks_to_see(Almanac(farm(STEPS, "2026-09-01").site), day("2027-03-20"))
    off = [abs((each.day - date(2027, 3, 20)).days) for each in found]
    assert off[0] == min(off)
    on = [(each.day - found[0].day).days % 365 for each in found]
    assert on == sorted(on)
    names = {each.mark for each in found}
    assert {"bud swell", "leaf drop", "last frost"} <= names
    assert not names & {"longest day", "spring equinox", "bark slips (spring) ends"}
    assert all(each.reason for each in found)


def test_what_is_not_recorded_before_an_act_is_passed_over_in_the_order_of_the_protocol():
    plan = planned(farm(STEPS, "2026-09-01"), "2027-03-01")
    assert passed_over(plan, 2) == ("collect", "clean")
    assert passed_over(planned(farm(STEPS, "2026-09-01"), "2027-03-01", entry("2026-10-05", "done", "collect")), 2) == (
        "clean",
    )


def test_several_acts_are_put_off_at_once_or_none_of_them():
    home = farm(STEPS, "2026-09-01")
    nursery = open_nursery(home, apply(home, []))
    told = put_off(nursery, [("B", "collect", day("2026-10-20")), ("B", "sow", day("2027-04-20"))], day("2026-09-10"))
    assert [(each.kind, each.data["step"], each.data["to"]) for each in told] == [
        ("later", "collect", "2026-10-20"),
        ("later", "sow", "2027-04-20"),
    ]
    with pytest.raises(Refused) as refusal:
        put_off(nursery, [("B", "collect", day("2026-10-20")), ("B", "sow", day("2027-06-01"))], day("2026-09-10"))
    assert say_refusal(refusal.value).endswith("(the last day is 12 May)")
