"""The window strip: drawn as far as the task's own last day, on the scale of its season's window."""

from __future__ import annotations

from datetime import date

import pytest

from engine.schedule.states import State
from engine.views.week import act_task
from tests.engine.schedule.farms import COLD_THEN_SOW, day, entry, farm, planned
from tui.paper.week_lines import left_cell
from tui.strips.window import window_strip

HOME = farm(COLD_THEN_SOW, "2026-12-01")


def drawn(begun: str, today: str) -> tuple[str, str]:
    """The strip of 42 cells, a day each from 1 April to 12 May, and how long there is."""
    cold = entry(begun, "done", "stratify cold", count=240)
    task = act_task(HOME, planned(HOME, today, cold), 1, day(today))
    return window_strip(task, day(today), 42), left_cell(task, day(today))


@pytest.mark.parametrize(
    ("begun", "left", "strip"),
    [
        ("2026-12-02", "last day", "●"),  # 120 days on is 1 April
        ("2026-12-05", "3 days", "●━━━"),
        ("2027-01-01", "30 days", "●" + "━" * 30),
    ],
)
def test_the_strip_is_as_long_as_what_is_left(begun: str, left: str, strip: str):
    assert drawn(begun, "2027-04-01") == (strip.ljust(42), left)


def test_of_what_is_overdue_no_day_is_left():
    strip, left = drawn("2026-12-05", "2027-04-09")
    assert left == "5 days late"
    assert strip == "·········".ljust(42)


def test_where_no_season_bounds_it_what_is_overdue_has_no_day_left_either():
    steps = """
[[protocol.step]]
do = "bud"
[[protocol.step]]
do = "check take"
wait_days = [14, 21]
"""
    home = farm(steps, "2027-07-01")
    plan = planned(home, "2027-08-25", entry("2027-08-01", "done", "bud", count=9))
    task = act_task(home, plan, 1, date(2027, 8, 25))
    assert task.state == State.OVERDUE
    assert window_strip(task, date(2027, 8, 25)) == "·" * 12
