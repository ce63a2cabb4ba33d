"""What a change of the farm file would do: the marks that would fall on other days, and the tasks that would move."""

from __future__ import annotations

from datetime import date

from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import plan_all
from engine.views.if_file_changes import marks_moved, tasks_moved
from tests.engine.needs.homes import batch, farm
from tests.engine.schedule.farms import NORTH, entry

TODAY = date(2027, 1, 10)
OTHER = NORTH.replace("04-24", "05-01")
SWELL = """
[[protocol]]
species = "Pomus ficta"
method = "seed"
whole = true
[[protocol.step]]
do = "sow"
opens = ["last frost"]
closes = ["last frost + 3 weeks"]
[[protocol.step]]
do = "lift"
opens = ["1 Nov"]
closes = ["1 Dec"]
[[batch]]
id = "P"
species = "Pomus ficta"
method = "seed"
count = 10
start = 2027-01-01
"""


def home(site: str = NORTH) -> Nursery:
    found = farm(batch("A"), SWELL, site=site)
    return open_nursery(found, apply(found, [entry("2027-01-05", "note", batch="P", text="x")]))


def test_the_marks_that_move_are_named_with_both_days():
    told = marks_moved(home(), home(OTHER).farm, 2027)
    assert "bud swell 3 Apr (now 27 Mar)" in told
    assert "first frost" not in told


def test_where_no_mark_moves_it_says_so():
    assert marks_moved(home(), home().farm, 2027) == "no mark of 2027 would move"


def test_the_tasks_to_come_that_would_be_aimed_at_another_day_are_counted():
    now = home()
    plans = plan_all(now, TODAY)
    entries = [entry("2027-01-05", "note", batch="P", text="x")]
    assert tasks_moved(now, plans, home(OTHER).farm, entries, TODAY) == 1  # sowing waits for the frost, no other step
    assert tasks_moved(now, plans, home().farm, entries, TODAY) == 0
