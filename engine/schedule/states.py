"""The state of a task on a day: what makes it closing, open or coming, and which state goes before which.

Whether an act is overdue or missed its plan tells (`plan.py`).
"""

from __future__ import annotations

from datetime import date
from enum import StrEnum

from engine.schedule.plan import Plan

CLOSING_DAYS = 7
COMING_DAYS = 14


class State(StrEnum):
    """The states of a task. The first that holds, in this order, is the task's."""

    DONE = "done"
    DROPPED = "dropped"
    """By the grower, or skipped: given by the plan of a batch alone, for such an act is no task any more."""
    HELD = "held"
    OVERDUE = "overdue"
    MISSED = "missed"
    NOT_YET = "not yet"
    CLOSING = "closing"
    OPEN = "open"
    COMING = "coming"
    LATER = "later"


def closes_soon(last: int, today: int) -> bool:
    """Whether what may be done until this last day (ordinals) is closing on a day."""
    return last - today <= CLOSING_DAYS


def state(plan: Plan, k: int, today: date, hours_a_week: float | None) -> State:
    """The state of act k on a day: the first of State that holds."""
    step = plan.step(k)
    now_day = today.toordinal()
    if plan.done(k):
        return State.DONE
    if step.do in plan.lot.held:
        return State.HELD
    if plan.overdue(k, now_day):
        return State.OVERDUE
    if plan.missed(k, now_day):
        return State.MISSED
    if any(not plan.done(i) for i in plan.chain.before[k]):
        return State.NOT_YET
    if plan.urged(k, now_day):
        return State.CLOSING
    earliest, last, best = plan.now.earliest[k], plan.now.latest[k], plan.now.best_until[k]
    if earliest is None:
        return State.LATER if plan.now.aims[k] is None or plan.now.aims[k] > now_day else State.OPEN  # type: ignore[operator]
    if earliest <= now_day:
        ends = [day for day in (last, best if best is not None and best >= now_day else None) if day is not None]
        if ends and closes_soon(min(ends), now_day):
            return State.CLOSING
        hours = plan.hours(k)
        if hours_a_week and hours and last is not None and hours > hours_a_week / 7 * (last - now_day + 1):
            return State.CLOSING
        return State.OPEN
    return State.COMING if earliest - now_day <= COMING_DAYS else State.LATER
