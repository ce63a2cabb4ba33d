"""The week as text, by place with boxes to tick, and as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from engine.farm.model import Farm
from engine.schedule.states import State
from engine.views.instead import Instead
from engine.views.panel import panel
from engine.views.task import Task, begins_its_season
from engine.views.week import Week
from tui.cells import (
    clipped,
    date_cell,
    dated,
    day,
    iso,
)
from tui.paper.instead import instead_json
from tui.paper.page import ADVISES, WIDTH, indented
from tui.paper.week_lines import ahead_line, count_line, frost_line, hours_line, late_cell, light_line, week_number

if TYPE_CHECKING:
    from engine.needs.dispatch import Parcel


HEAD = 13
"""Cells of a task's box and state."""
STEP = 18
"""Cells of a task's step at the most; a longer one takes what it needs."""
LEAST = 12
"""Cells that a plant's name must have; with fewer, the task goes on in a second line."""


def week_sheet(
    farm: Farm, week: Week, instead: Mapping[str, Sequence[Instead]] | None = None, sends: Sequence[Parcel] = ()
) -> str:
    """The week by place, each task with a box to tick; under what was missed what may be done `instead`, by lot.

    `sends` are the parcels that must go soon.
    """
    from engine.views.panel import panel

    lines = [
        f"{farm.name or 'Farm'} · week {week_number(week)}, "
        f"{week.start:%a} {day(week.start)} to {week.end:%a} {dated(week.end)}",
        light_line(week),
        *([frost_line(week)] if week.frost else []),
        hours_line(week),
    ]
    if sends:
        from engine.needs.dispatch import say_sending

        lines += ["", "ORDERS TO THE DOOR"]
        lines += [part for each in sends for part in wrap(f"[ ] {say_sending(each)}", WIDTH, subsequent_indent="    ")]
    cautions: dict[str, dict[str, None]] = {}  # of the plants: each with those that it is said of
    wide = min(STEP, max((len(task.step) for task in week.tasks if task.kind == "act"), default=STEP))
    for place, tasks in week.places():
        lines += ["", f"{place.upper()}  {count_line(tasks, week.end)}"]
        told_here: set[str] = set()
        for task in tasks:
            lines += _task_lines(task, week.today, wide)
            told = panel(farm, task, week.today)
            if task.plan is not None and (task.state in (State.OVERDUE, State.MISSED, State.CLOSING) or task.radicles):
                first = task.state in (State.OVERDUE, State.MISSED) or task.radicles
                lines += indented(told.why[0] if first else told.why[-1])
            if task.state is State.MISSED:
                for way in (instead or {}).get(task.lot, ()):
                    lines += indented(f"or {way.says(week.today)}")
            own = task.plan.step(task.index).cautions if task.plan else ()
            for caution in own[:2] if task.state is not State.DONE else ():
                if caution not in told_here:  # once in a place: nobody reads it five times
                    lines += indented(f"! {caution}")
                    told_here.add(caution)
            if begins_its_season(task, week.start):
                name = farm.species_of(task.plan.batch.species).name if task.plan else task.plant
                for caution in told.cautions:
                    if caution not in own:
                        cautions.setdefault(caution, {})[name] = None
    if not week.tasks:
        lines += ["", "Nothing is due."]
    if week.ahead:
        lines += ["", "MAKE READY FOR NEXT WEEK"]
        lines += [f"    {ahead_line(task)}"[:WIDTH] for task in week.ahead]
    for trouble in week.troubles:
        lines += ["", *wrap(f"Does not fit: {trouble}", WIDTH)]
    for told_of in week.lapses:
        lines += ["", *wrap(f"! {told_of}", WIDTH)]
    if cautions:  # once for all, not with every task
        lines += ["", "OF THESE PLANTS"]
        for caution, names in cautions.items():
            lines += wrap(f"! {', '.join(names)}: {caution}", WIDTH, initial_indent="  ", subsequent_indent="    ")
    lines += ["", ADVISES]
    return "\n".join(lines)


def _task_lines(task: Task, today: date, wide: int) -> list[str]:
    """A task with its box, its step in so many cells at the least."""
    box = "[x]" if task.state is State.DONE else "[ ]"
    count = str(task.count) if task.kind == "act" else ""
    until = task.often
    if task.state is State.MISSED:
        until = f"next {date_cell(task.aim)}" if task.aim else "no window"
    elif task.waits_for_its_aim(today) and task.aim:
        until = f"aim {day(task.aim)}"
    elif over := task.over(today):
        until = late_cell(over)
    elif task.kind == "act" and task.latest and task.state is not State.DONE:
        until = f"by {day(task.latest)}"
    step = f"{task.step:<{wide}} {count:>5}" if count else f"{task.step:<{wide + 6}}"
    head = f"{box} {task.state:<8} {step}  "
    room = WIDTH - 17 - len(head) - len(task.lot) - 1  # the plant's name gives way, never the lot's
    if room >= min(len(task.plant), LEAST):
        return [f"{f'{head}{clipped(task.plant, room)} {task.lot}':<{WIDTH - 17}} {until:>16}".rstrip()]
    whole = " ".join(part for part in (task.step, count, task.plant, task.lot) if part)
    first, *rest = wrap(whole, WIDTH - 17 - HEAD)
    return [
        f"{f'{box} {task.state:<8} {first}':<{WIDTH - 17}} {until:>16}".rstrip(),
        *(" " * HEAD + part for part in rest),
    ]


def week_json(
    farm: Farm, week: Week, instead: Mapping[str, Sequence[Instead]] | None = None, sends: Sequence[Parcel] = ()
) -> dict[str, Any]:
    """The week; each task that was missed has the `others`: the ways still open `instead`, by lot."""
    frost = week.frost
    return {
        "week": {"start": week.start.isoformat(), "end": week.end.isoformat()},
        "day_length_minutes": round(week.day_minutes, 2),
        "day_length_change_minutes": round(week.day_change, 2),
        "frost": {}
        if frost is None
        else {
            "mark": frost.mark,
            "date": frost.day.isoformat(),
            "days": frost.days,
            "chance": None if frost.chance is None else round(frost.chance, 4),
        },
        "hours_planned": round(week.hours_planned, 2),
        "hours_available": week.hours_available,
        "tasks": [
            _task(farm, task, week.today, (instead or {}).get(task.lot, ()))
            for _, tasks in week.places()
            for task in tasks
        ],
        "sends": [{"for": each.who, "send_by": iso(each.send_by), "why": list(each.why)} for each in sends],
        "problems": [*week.troubles, *week.lapses],
    }


def _task(farm: Farm, task: Task, today: date, others: Sequence[Instead]) -> dict[str, Any]:
    told = panel(farm, task, today)  # the odds are not among the figures
    return {
        "kind": task.kind,
        "batch": task.lot,
        "species": task.species,
        "name": task.plant,
        "method": task.method,
        "step": task.step,
        "place": task.place,
        "count": task.count,
        "opens": iso(task.opens),
        "closes": iso(task.closes),
        "earliest": iso(task.earliest),
        "aim": iso(task.aim),
        "latest": iso(task.latest),
        "state": task.state,
        "hours": None if task.hours is None else round(task.hours, 2),
        "days": [d.isoformat() for d in task.days],
        "why": [*told.why, *told.warnings],
        "cautions": list(told.cautions),
        "others": instead_json(others) if task.state is State.MISSED else [],
    }
