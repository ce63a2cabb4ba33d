"""What is ahead of a week: what opens or ends in the week after it, and the lots that begin much later."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from engine.schedule.plan import Plan
from engine.schedule.states import State
from engine.views.task import Task
from engine.views.week import Week

MUCH_LATER = timedelta(42)
"""Beyond the week's end: what begins by then comes up in the weeks that one looks through."""


def opens_or_ends(week: Week, following: Week) -> list[tuple[date, bool, Task]]:
    """The acts that open in the week after, or have their last day in it: which day, whether they open, and the act.

    What is to be made ready for is not among them: the week itself tells it.
    """
    told = {(task.lot, task.step) for task in week.ahead}
    found = []
    for task in following.tasks:
        if task.kind != "act" or (task.lot, task.step) in told or task.state is State.DONE:
            continue
        if task.earliest is not None and following.start <= task.earliest <= following.end:
            found.append((task.earliest, True, task))
        elif task.latest is not None and following.start <= task.latest <= following.end:
            found.append((task.latest, False, task))
    return found


def begin_much_later(plans: Iterable[Plan], week: Week) -> list[tuple[int, int, Plan]]:
    """The lots that begin after that, the first of them first: the day (an ordinal), the act, and which lot."""
    shown = {task.lot for task in week.tasks}
    found = []
    for plan in plans:
        if plan.lot.done or plan.lot.id in shown or (first := plan.first_possible) is None:
            continue
        k, ordinal = first
        if ordinal > (week.end + MUCH_LATER).toordinal():
            found.append((ordinal, k, plan))
    return sorted(found, key=lambda each: (each[0], each[2].lot.id))
