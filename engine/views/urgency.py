"""How urgent a task is: in what order the tasks of a week are done, the most pressing first."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.schedule.states import State
from engine.views.task import FAR, Task

_RANKS = {
    State.OVERDUE: -2, State.MISSED: -2, State.CLOSING: -1, State.COMING: 2, State.NOT_YET: 2, State.LATER: 2,
    State.DONE: 4,
}  # fmt: skip
"""Of the states that press, or can wait."""


def urgency(task: Task, today: date) -> tuple[int, date, date, str]:
    """By what tasks are ordered, the most pressing first."""
    rank = _RANKS.get(task.state, 0) or (1 if task.waits_for_its_aim(today) else 0)
    if task.kind == "standing":
        rank = 3
    if task.urged:
        rank = -3  # seed that has thrown radicles waits for nothing
    return (rank, task.ends if task.kind == "act" else FAR, task.aim or FAR, task.lot)


def closes_first(tasks: Iterable[Task], today: date) -> Task | None:
    """The open task whose last day comes first; of those with one last day the most pressing. None: none closes."""
    ends = [
        (task.latest, *urgency(task, today), task)
        for task in tasks
        if task.kind == "act" and task.state in (State.OPEN, State.CLOSING) and task.latest
    ]
    return min(ends, key=lambda each: each[:-1])[-1] if ends else None
