"""Plans and boards that are taken over from before an entry are those that would be made anew."""

from __future__ import annotations

from datetime import timedelta

import pytest

from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, plan_all
from engine.views.task import Task
from engine.views.week import week_view
from tests.engine.records.farms import TODAY
from tests.engine.records.test_arrival import FARM
from tests.engine.records.test_folding import histories
from tests.fuzz import budget


def told(tasks):
    """All that the tasks say; their plans are compared by themselves."""
    names = [name for name in Task.__match_args__ if name != "plan"]
    return [[getattr(task, name) for name in names] for task in tasks]


@pytest.mark.parametrize("part", range(2))
def test_plans_and_boards_go_on_from_those_before(part):
    for seed in range(part, budget(16, 2_000), 2):
        nursery = open_nursery(FARM, apply(FARM, (), watch=None, keep=True))
        planned, week = Day(nursery, plan_all(nursery, TODAY), TODAY), None
        for n, entries in enumerate(histories(seed)):
            today = TODAY + timedelta(n // 3)
            nursery = open_nursery(FARM, apply(FARM, entries, None, nursery.records), nursery)
            planned = Day(nursery, plan_all(nursery, today, planned), today)
            week = week_view(planned, before=week)
            anew = open_nursery(FARM, apply(FARM, entries, watch=None))
            plans = plan_all(anew, today)
            assert [(p.lot, p.meant, p.now, p.passed_over, p.courses) for p in planned.plans] == [
                (p.lot, p.meant, p.now, p.passed_over, p.courses) for p in plans
            ]
            board = week_view(Day(anew, plans, today))
            assert told(week.tasks) == told(board.tasks)
            assert (week.hours_planned, week.frost, week.troubles) == (
                board.hours_planned,
                board.frost,
                board.troubles,
            )
            assert told(week.ahead) == told(board.ahead)
