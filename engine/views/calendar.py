"""The tasks to come as days in a calendar: what is to be done, what is to be looked at, and what closes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from engine.almanac.almanac import NeverComes
from engine.almanac.windows import spans_of
from engine.farm.model import Farm
from engine.reading.frozen import dataclass
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan
from engine.schedule.standing_work import standing_work
from engine.schedule.states import State
from engine.schedule.why_this_act import why
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


def calendar_events(day: Day) -> tuple[Event, ...]:
    """Every task to come within a year, every next look, care, the last day of what closes and of parcels; by day."""
    nursery, plans, today = day
    events = [event for plan in plans for event in _of_plan(nursery.farm, plan, today)]
    events += [*_parcels(nursery, today), *_once(nursery, today)]
    return tuple(sorted(events, key=lambda event: (event.day, event.key)))


def _parcels(nursery: Nursery, today: date) -> Iterable[Event]:
    """The last day on which each parcel may go."""
    if not any(need.who for need in nursery.farm.needs):
        return
    from engine.needs.dispatch import say_sending, sendings

    for parcel in sendings(nursery, today, today + timedelta(AHEAD_DAYS)):
        if parcel.send_by is not None:
            day, told = max(parcel.send_by, today), "\n".join(parcel.why)
            yield Event(f"send {parcel.who}", day, f"last day: {say_sending(parcel)}", told, "", WARN_DAYS)


def _once(nursery: Nursery, today: date) -> Iterable[Event]:
    """What is done once in its season, at a planting, to stock or to stock plants: the next time it opens."""
    for work in standing_work(nursery, today):
        if not work.once:
            continue
        done = [day for do, place, day in nursery.records.worked if (do, place) == (work.do, work.place)]
        spans = spans_of(nursery.almanac, work.window)
        try:
            span = spans.from_day(today.toordinal())
            if any(span.opens <= day.toordinal() <= span.closes for day in done):
                span = spans.from_day(span.closes + 1)
        except NeverComes:
            continue
        opens = max(date.fromordinal(span.opens), today)
        if opens <= today + timedelta(AHEAD_DAYS):
            told = "\n".join(part for part in (", ".join(work.of), work.note) if part)
            yield Event(f"work {work.do} {work.place}", opens, f"{work.do}: {work.place}", told, work.place)


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
