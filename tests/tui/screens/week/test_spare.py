"""A bit of time: what presses and does not fit is named on the board, on the sheet and in the JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

from tests.tui.conftest import Call
from tests.tui.shed import opened
from tui.screens.week.screen import WeekScreen

ON = date(2027, 3, 30)


async def test_what_has_its_last_day_and_is_too_long_is_named(demo: Callable[[date], Path]):
    """Lining out 66 apples takes 50 minutes at the library's rate, and this is its last day."""
    async with opened(demo(ON), ON, (80, 40)) as shed:
        await shed.press("b", "enter")
        screen = shed.on_top(WeekScreen)
        rows = {row.key: row for row in shed.board.rows if row.key.startswith("left out act ")}
        [line_out] = [row for row in rows.values() if row.task is not None and row.task.step == "line out"]
        assert line_out.text == f"too long for 40 minutes: line out {line_out.tasks[0].lot}, last day"
        fits = [row.task for row in shed.board.rows if row.kind == "task" and row.task is not None]
        assert line_out.task not in fits
        assert all(task.state in ("closing", "overdue") for row in rows.values() for task in row.tasks)
        await shed.go(line_out.key)
        assert "d done" in shed.text  # it can be recorded from there
        await shed.press("escape")
        assert screen.fitting is None
        assert not any(row.key.startswith("left out") for row in shed.board.rows)


def test_the_sheet_and_the_json_name_it_too(call: Call, demo_of: Callable[[date], Path]):
    words = ("week", demo_of(ON), "--spare", "40", "--on", ON.isoformat())
    told = json.loads(call(*words, "--json")[1])["left_out"]
    assert ("line out", "too long for 40 minutes") in [(task["step"], task["why"]) for task in told]
    sheet = call(*words)[1]
    for task in told:
        assert f"{task['why']}: {task['step']} {task['batch'] or task['place']}, " in sheet
