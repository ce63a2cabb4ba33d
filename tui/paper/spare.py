"""What fits into the time there is, with boxes to tick, and as JSON."""

from __future__ import annotations

from datetime import date
from typing import Any

from engine.farm.model import Farm
from engine.views.spare import Spare, minutes_of, why_left_out
from engine.views.task import Task
from tui.cells import clipped, counted, day
from tui.paper.page import WIDTH
from tui.paper.week_lines import left_cell


def spare_sheet(farm: Farm, found: Spare, minutes: int, wet: bool, on: date) -> str:
    """The tasks most pressing first, each with where it is and how long it takes."""
    where = ", under cover" if wet else ""
    told = [f"{farm.name or 'Farm'} · {day(on, True)} · what fits into {minutes} minutes{where}", ""]
    for task in found.tasks:
        takes = f"{minutes_of(task) or 0:.0f} min"
        told.append(f"{clipped(f'[ ] {said(task)}', WIDTH - 8):<{WIDTH - 8}}{takes:>8}".rstrip())
    told += [] if found.tasks else ["Nothing that may be done today fits."]
    told += [clipped(left_out_line(task, minutes, on), WIDTH) for task in found.left_out]
    longer = f"; {counted(found.longer, 'task')} would take longer" if found.longer else ""
    told += ["", f"{found.left:.0f} minutes left{longer}."]
    return "\n".join(told)


def left_out_line(task: Task, minutes: float, today: date) -> str:
    """`too long for 40 minutes: line out A27, last day`."""
    return f"{why_left_out(task, minutes)}: {task.step} {task.lot or task.place}, {left_cell(task, today)}"


def said(task: Task) -> str:
    """`graft 60 pear Conference P27, grafting bench`."""
    plants = f" {task.count} {task.plant} {task.lot}" if task.lot else ""
    return f"{task.step}{plants}, {task.place}"


def spare_json(found: Spare, minutes: int, wet: bool) -> dict[str, Any]:
    """The tasks in order, with the minutes of each."""
    return {
        "minutes": minutes,
        "under_cover": wet,
        "left": round(found.left, 1),
        "longer": found.longer,
        "tasks": [_task(task) for task in found.tasks],
        "left_out": [{**_task(task), "why": why_left_out(task, minutes)} for task in found.left_out],
    }


def _task(task: Task) -> dict[str, Any]:
    minutes = minutes_of(task)
    return {
        "batch": task.lot,
        "species": task.species,
        "step": task.step,
        "place": task.place,
        "count": task.count,
        "state": str(task.state),
        "minutes": None if minutes is None else round(minutes, 1),
    }
