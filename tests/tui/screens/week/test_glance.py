"""What the week answers without a key at 80 by 24, the parts of its panel, and the week after where there is room."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest

from engine.reading.frozen import replace
from engine.views.week import week_view
from tests.tui.farms import TODAY, tell
from tests.tui.screens.week.board import SOAK
from tests.tui.shed import opened
from tui.cells import hours_said
from tui.facts import GUTTER, Facts
from tui.farmhouse import Farmhouse, enter
from tui.screens.week import glance

SPRING, SUMMER = date(2027, 4, 6), date(2027, 7, 20)


@pytest.mark.parametrize(
    ("day", "frost"), [(SPRING, "frost any night: last frost 4 May"), (SUMMER, "frost unlikely: first frost 12 Oct")]
)
async def test_a_week_answers_at_a_glance(demo: Callable[[date], Path], day: date, frost: str):
    async with opened(demo(day), day, (80, 24)) as shed:
        week = shed.screen.week
        assert week is not None
        head = " ".join(" ".join(shed.text.splitlines()[1:4]).split())
        acts = [t for t in week.tasks if t.kind == "act" and t.state in ("open", "closing") and t.latest]
        ends = {t.lot for t in acts if t.latest == min(t.latest for t in acts if t.latest)}
        assert any(f"closes first: {t.step} {t.plant} {t.lot}, by" in head for t in acts if t.lot in ends)
        overdue = sum(t.state == "overdue" for t in week.tasks)
        assert f"{overdue} overdue" in head
        assert f"{hours_said(week.hours_planned)} of {hours_said(week.hours_available or 0)} due" in head
        assert frost in head
        assert "day 1" in head  # how long it is
        full = round(glance.GAUGE * min(1, week.hours_planned / (week.hours_available or 1)))
        assert glance.hours(week).count("█") == full


def test_a_last_frost_that_may_still_come_is_reckoned_with_past_its_day(demo: Callable[[date], Path]):
    """By the farm's own table it comes in one year of two on or after 4 May, in one of ten on or after 20 May."""
    for day, told in (
        (date(2027, 5, 3), "frost any night: last frost 4 May (50 % chance), in 1 day"),
        (date(2027, 5, 4), "frost likely: last frost 4 May (50 % chance), today"),
        (date(2027, 5, 18), "frost possible: last frost 4 May (50 % chance) past, 13 % chance of more"),
        (date(2027, 5, 21), "frost unlikely: last frost 4 May (50 % chance) past, 9 % chance of more"),
        (date(2027, 6, 10), "frost unlikely: first frost 12 Oct (50 % chance), in 17 weeks"),
        (date(2027, 11, 30), "frost any night: last frost 4 May (50 % chance), in 22 weeks"),
    ):
        house = enter(demo(SPRING), day)
        assert isinstance(house, Farmhouse)
        assert glance.frost(week_view(house.day(day)._replace(plans=[]))) == told


def test_the_head_names_what_closes_first_and_its_own_last_day(demo: Callable[[date], Path]):
    """Radicles stand first in the list; what has its last day sooner closes before them all the same."""
    day = date(2027, 3, 30)
    house = enter(demo(day), day)
    assert isinstance(house, Farmhouse)
    week = week_view(house.day(day))
    [run] = [task for task in week.tasks if task.urged]
    assert run.latest is not None
    assert run.latest < (run.closes or day)
    only_run = replace(week, tasks=(run, *(t for t in week.tasks if t.latest is not None and t.latest > run.latest)))
    assert glance.closes_first(only_run).endswith(f"{run.lot}, by {run.latest.day} {run.latest:%b}")
    sooner = [t for t in week.tasks if t.kind == "act" and t.state == "closing" and t.latest == day]
    assert sooner
    assert any(f" {t.lot}, by 30 Mar" in glance.closes_first(week) for t in sooner)


async def test_what_is_missed_is_told_and_nothing_where_nothing_is(tiny: Path):
    async with opened(tiny, TODAY, (80, 24)) as shed:
        assert "1 missed" in shed.text.splitlines()[2]
        week = shed.screen.week
        assert week is not None
        done = tuple(task for task in week.tasks if task.state not in ("missed", "overdue"))
        assert glance.late(replace(week, tasks=done)) == "no task overdue or missed"
        assert glance.closes_first(replace(week, tasks=())) == "nothing is closing"


async def test_the_panel_stands_in_parts_whose_lines_are_aligned(tiny: Path):
    async with opened(tiny, TODAY, (120, 40)) as shed:
        await shed.go(SOAK)
        facts = shed.screen.query_one(Facts)
        lines = [facts.render_line(y).text for y in range(len(facts._lines))]
        heads = [line[:GUTTER].strip() for line in lines[1:] if not line.startswith("!")]
        assert [head for head in heads if head][:2] in (["do", "when"], ["when", "care"], ["when", "odds"])
        assert "next" in heads
        for line in lines[1:]:
            assert line.startswith("!") or line[GUTTER - 1] == " "


async def test_beside_the_list_stands_the_panel_and_beneath_it_the_week_after(demo: Callable[[date], Path]):
    day = date(2027, 1, 19)
    async with opened(demo(day), day, (120, 40)) as shed:
        await shed.until(lambda: any(row.key == "week after" for row in shed.board.rows))
        text = shed.text
        following = date(2027, 1, 25)
        assert f"next week, {following.day} Jan to 31 Jan: " in text
        shown = [row for row in shed.board.rows if row.key.startswith("next ")]
        routine = " ".join(row.text for row in shed.board.rows if row.key.startswith("routine "))
        assert "looks" in routine
        assert "mouse traps and mesh" in routine
        for row in shown:
            [task] = row.tasks
            ends = [when for when in (task.earliest, task.latest) if when is not None]
            assert any(following <= when <= following + timedelta(6) for when in ends)
        await shed.resize((80, 24))  # where there is no room it is left out
        await shed.until(lambda: not any(row.key == "week after" for row in shed.board.rows))


async def test_a_batch_that_begins_much_later_is_named_on_the_first_board(tiny: Path):
    tell(tiny, "batch", TODAY, device="office", batch="L9", species="Fictus ripensis", method="seed",
         count=5, start="2027-10-01")  # fmt: skip
    async with opened(tiny, size=(120, 40)) as shed:
        assert "to start later: L9 bankside fig (soak 1 Dec 27)" in shed.text  # four months at most before 1 Apr
        assert "M1 scree fig" not in shed.text.partition("to start later")[2]  # it stands there as missed
        assert not any(row.pickable for row in shed.board.rows if row.key == "later")
        await shed.press("right")
        assert "to start later" not in shed.text
    tell(tiny, "change", TODAY, device="office", batch="L9", start="2027-02-01")
    async with opened(tiny, size=(120, 40)) as shed:
        assert "to start later" not in shed.text
