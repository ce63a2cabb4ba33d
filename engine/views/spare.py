"""An hour to spare: of what may be done today, what fits together into so many minutes, the most pressing first."""

from __future__ import annotations

from engine.reading.frozen import dataclass
from engine.schedule.states import State
from engine.views.task import Task
from engine.views.urgency import urgency
from engine.views.week import LOOK_HOURS, Week

NOW = (State.OVERDUE, State.CLOSING, State.OPEN)
"""The states of what may be done today."""
PRESSING = (State.OVERDUE, State.CLOSING)
"""The states of what nobody wants to overlook for what is shorter."""


@dataclass(frozen=True, slots=True)
class Spare:
    """What fits into the time there is, most pressing first, and how many minutes of it are left."""

    tasks: tuple[Task, ...]
    left: float
    longer: int
    """How many tasks that may be done take longer than there is, or time not known."""
    left_out: tuple[Task, ...] = ()
    """What presses and is not among them: overdue, or closing."""


def minutes_of(task: Task) -> float | None:
    """How long it takes to do it once, in minutes; None where nobody knows."""
    if task.standing is not None:
        return task.standing.minutes
    if task.kind == "look":
        return LOOK_HOURS * 60
    return None if task.hours is None else task.hours * 60


def spare(week: Week, minutes: float, under_cover: bool = False) -> Spare:
    """What of a week's tasks may be done today and fits together into so many minutes; `under_cover`: only there."""
    today = (task for task in week.tasks if task.state in NOW and (task.under_cover or not under_cover))
    found, left_out, left, longer = list[Task](), list[Task](), minutes, 0
    for task in sorted(today, key=lambda task: urgency(task, week.today)):
        if task.kind != "act" and not any(day <= week.today for day in task.days):
            continue  # a look or standing work that falls due later in the week
        needs = minutes_of(task)
        if needs is None or needs > minutes:
            longer += 1
        elif needs <= left:
            found.append(task)
            left -= needs
            continue
        if task.state in PRESSING:
            left_out.append(task)
    return Spare(tuple(found), left, longer, tuple(left_out))


def why_left_out(task: Task, minutes: float) -> str:
    """Why a task that presses is not offered: `too long for 40 minutes`."""
    needs = minutes_of(task)
    if needs is None:
        return "time not known"
    return f"too long for {minutes:.0f} minutes" if needs > minutes else "no time left"
