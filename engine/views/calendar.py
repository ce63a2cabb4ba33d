"""The tasks to come as days in a calendar: what is to be done, what is to be looked at, and what closes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from engine.farm.model import Farm
from engine.reading.frozen import dataclass
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan
from engine.schedule.states import State
from engine.schedule.why import why
from engine.views.week import act_task, next_looks, plant_name

AHEAD_DAYS = 366
"""So far ahead a task is shown: beyond it lie windows that will be dated anew many times."""
WARN_DAYS = 3
"""So many days before its last day a task warns of its closing (common practice: time to make ready)."""


@dataclass(frozen=True, slots=True)
class Event:
    """One day of one task. `key` stays the same while the task does, however its days move."""

    key: str
    day: date
    title: str
    told: str
    place: str
    warn_days: int | None = None
    """So many days before it an alarm is due; None: no alarm."""


def calendar_events(nursery: Nursery, plans: Sequence[Plan], today: date) -> tuple[Event, ...]:
    """Every task to come within a year, every next look, and the last day of what closes; by day."""
    events = [event for plan in plans for event in _of_plan(nursery.farm, plan, today)]
    return tuple(sorted(events, key=lambda event: (event.day, event.key)))


def _of_plan(farm: Farm, plan: Plan, today: date) -> Iterable[Event]:
    until = today + timedelta(AHEAD_DAYS)
    lot, plant = plan.lot.id, plant_name(farm, plan)
    for look in next_looks(farm, plan, today):
        step = plan.step(look.index)
        told = f"{step.look_for}; {look.often}" if step.look_for else look.often
        title = f"look at {step.do}: {plant} {lot}"
        yield Event(f"look {step.do} {lot}", max(look.days[0], today), title, told, look.place)
    for k, step in enumerate(plan.chain.protocol.steps):
        task = act_task(farm, plan, k, today)
        if plan.done(k) or task.aim is None or task.aim > until:
            continue
        words = f"{step.do}: {plant} {lot}, {task.count}"
        state = f" ({task.state})" if task.state in (State.HELD, State.MISSED) else ""
        told = "\n".join(why(plan, k, today))
        yield Event(f"task {step.do} {lot}", max(task.aim, today), f"{words}{state}", told, task.place)
        if task.latest is not None and max(task.aim, today) < task.latest <= until:
            closes = f"last day: {words}"
            yield Event(f"closes {step.do} {lot}", task.latest, closes, told, task.place, WARN_DAYS)
