"""Looks and standing work recorded from the board."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.tui.farms import TODAY
from tests.tui.screens.week.board import LOOK_Z2, LOOKS, SWEEP, data
from tests.tui.shed import opened
from tui.screens.week.rows import task_key


async def test_d_on_standing_work_records_it_for_today(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SWEEP)
        await shed.press("d")
        assert data(shed) == [("worked", {"do": "sweep the floor", "place": "potting shed"})]
        assert shed.row(SWEEP).state == "done"


async def test_standing_work_that_was_due_and_not_done_is_due_until_it_is(tiny: Path):
    wednesday = date(2027, 1, 20)
    async with opened(tiny, wednesday) as shed:
        [task] = shed.row(SWEEP).tasks
        assert (task.state, task.days) == ("open", (wednesday,))
        await shed.go(SWEEP)
        await shed.do("done")
        assert shed.row(SWEEP).state == "done"
    async with opened(tiny, date(2027, 1, 22)) as shed:
        assert shed.row(SWEEP).state == "done"


async def test_n_on_folded_looks_says_nothing_of_all_that_are_due(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(LOOKS)
        await shed.press("n")
        assert [(kind, d["batch"], d["finding"]) for kind, d in data(shed)] == [
            ("look", "Z2", "nothing"), ("look", "Z3", "nothing")
        ]  # fmt: skip
        assert shed.foot.startswith("nothing in any of the 2: cold store")
        await shed.press("u")
        assert [shed.plan(lot).lot.looks for lot in ("Z2", "Z3")] == [(), ()]  # one key took back both


async def test_looks_passed_by_do_not_pile_up(tiny: Path):
    """Eight weeks without a look: one line a lot, the latest due, and five minutes each."""
    async with opened(tiny, date(2027, 3, 1)) as shed:
        [row] = [row for row in shed.board.rows if row.kind == "looks"]
        assert [task.lot for task in row.tasks] == ["Z2", "Z3"]
        for task in row.tasks:
            assert task.hours == pytest.approx(5 / 60)
            assert task.days[:2] == (date(2027, 2, 27), date(2027, 3, 3))  # the latest that is due, then this week
            assert task.state == "open"


async def test_a_look_records_what_was_found(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(LOOKS)
        await shed.press("enter")
        for n, (key, finding) in enumerate({"n": "nothing", "r": "radicles", "m": "mould", "y": "dry"}.items()):
            await shed.go(LOOK_Z2)
            await shed.press(key)
            [made] = data(shed)[2 * n :]  # the looks before it and their undoing stand too
            assert made == ("look", {"batch": "Z2", "step": "stratify cold", "finding": finding})
            last = shed.plan("Z2").lot.last_look("stratify cold")
            assert last is not None
            assert (last.day, last.finding) == (TODAY, finding)
            await shed.do("undo")
            assert shed.plan("Z2").lot.looks == ()


async def test_radicles_of_folded_looks_ask_of_which_lot(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(LOOKS)
        for finding in ("radicles", "mould", "dry"):
            await shed.do(f"look_{finding}")
            assert "enter" in shed.foot
        assert shed.entries() == []


async def test_the_looks_at_the_head_are_those_due_and_those_to_come(demo: Callable[[date], Path]):
    """Seed in the cold is looked at twice a week: looked at today, it comes round once more this week."""
    on = date(2027, 3, 30)
    async with opened(demo(on), on, (100, 80)) as shed:
        key = next(row.key for row in shed.board.rows if row.kind == "looks")
        for _ in range(3):
            text = next(line for line in shed.text.splitlines() if re.search("looks .* (due|coming)", line))
            counts = [int(count) for count in re.findall(r"(\d+) (?:due|coming)", text)]
            found = re.search(r"(\d+) looks", text)
            assert found is not None
            assert sum(counts) == int(found.group(1)) == len(shed.row(key).tasks)
            look = next(task for task in shed.row(key).tasks if task.state == "open")
            if task_key(look) not in shed.keys:
                await shed.go(key)
                await shed.press("enter")
            await shed.go(task_key(look))
            await shed.press("n")
