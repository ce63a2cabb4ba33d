"""The hours of a year are those of the boards of its weeks, whatever was recorded, and on any day."""

from __future__ import annotations

import random
from datetime import timedelta

import pytest

from engine.journal.store import standing
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, plan_all
from engine.views.hours import hours_by_week
from engine.views.week import week_start, week_view
from tests.engine.records.farms import TODAY
from tests.engine.records.test_arrival import FARM, season
from tests.fuzz import budget


@pytest.mark.parametrize("seed", range(budget(6, 400)))
def test_the_hours_of_a_week_are_those_of_its_board_after_any_history(seed):
    chance = random.Random(seed)
    entries = sorted(season(seed)[0].known.values(), key=lambda each: (each.at, each.id))
    nursery = open_nursery(FARM, apply(FARM, standing(entries)))
    today = TODAY + timedelta(chance.randint(-60, 300))
    plans = plan_all(nursery, today)
    first = week_start(today, FARM.week_starts) - timedelta(7 * chance.randint(0, 10))
    starts = [first + timedelta(7 * n) for n in range(52)]
    found = hours_by_week(Day(nursery, plans, today), starts)
    assert list(found) == starts
    for start in starts:
        assert found[start] == pytest.approx(week_view(Day(nursery, plans, today), start).hours_planned), start
