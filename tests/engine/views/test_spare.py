"""An hour to spare: what fits into it is the most pressing that may be done today, and no more than there is time."""

from __future__ import annotations

from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, plan_all
from engine.views.spare import minutes_of, spare, why_left_out
from engine.views.week import Week, week_view, wet_day
from tests.engine.needs.homes import batch, farm
from tests.engine.schedule.farms import day

STANDING = """
[[standing]]
do = "sweep"
place = "shed"
every_days = 7
minutes = 25
[[standing]]
do = "oil tools"
place = "shed"
every_days = 7
minutes = 30
[[standing]]
do = "weed"
place = "bed"
every_days = 7
minutes = 10
[[place]]
name = "shed"
under_cover = true
"""
ON = day("2027-03-29")  # sticking closes on the 31st


def week(*parts: str) -> Week:
    home = farm(*parts, STANDING)
    nursery = open_nursery(home, apply(home, ()))
    return week_view(Day(nursery, plan_all(nursery, ON), ON))


def told(minutes: float, under_cover: bool = False, count: int = 50) -> tuple[list[str], float, int]:
    found = spare(week(batch("B", count)), minutes, under_cover)
    return [task.step for task in found.tasks], round(found.left), found.longer


def test_what_presses_most_comes_first_and_the_rest_as_it_fits():
    steps, left, _ = told(70)
    assert steps[0] == "stick"
    assert len(steps) > 1
    assert left == 70 - sum({"stick": 30, "weed": 10, "sweep": 25, "oil tools": 30}[step] for step in steps)
    assert left >= 0


def test_what_takes_longer_than_there_is_is_counted():
    assert told(20) == (["weed"], 10, 3)
    assert told(9) == ([], 9, 4)


def test_under_cover_only_what_is_there():
    steps, _, _ = told(60, under_cover=True)
    assert sorted(steps) == ["oil tools", "sweep"]
    assert {task.place for task in wet_day(week(batch("B"))).tasks} == {"shed"}


def test_the_minutes_of_a_task_are_those_of_doing_it_once():
    acts = {task.step: minutes_of(task) for task in week(batch("B", 50)).tasks}
    assert acts["stick"] == 30
    assert acts["sweep"] == 25


def test_what_presses_and_does_not_fit_is_named_with_its_reason():
    """Sticking takes half an hour and closes in two days: whoever has twenty minutes must not overlook it."""
    short = spare(week(batch("B", 50)), 20)
    [stick] = short.left_out
    assert (stick.step, stick.state) == ("stick", "closing")
    assert why_left_out(stick, 20) == "too long for 20 minutes"
    assert spare(week(batch("B", 50)), 30).left_out == ()
    both = spare(week(batch("B", 50), batch("C", 50)), 40)
    assert [(task.lot, why_left_out(task, 40)) for task in both.left_out] == [("C", "no time left")]
