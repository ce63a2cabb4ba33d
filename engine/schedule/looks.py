"""When to look at what lasts: seed in the cold ever closer, other things as often as their protocol says."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from engine.protocols.model import Days, Step
from engine.protocols.roles import Role

# Seed in the cold: fortnightly, weekly from half the least time, twice a week from the least time (common practice).
FORTNIGHT, WEEK, TWICE_A_WEEK = 14, 7, 3
RADICLES_WAIT = 7
"""Days in which seed that has thrown radicles is sown or potted (common practice: at once, within a week at most)."""


def look_days(step: Step, lasts: Days, start: date, first: date, last: date, looked: date | None = None) -> list[date]:
    """The days from `first` to `last` on which to look at a step that began on `start`, in their order.

    They go on from the last look where there was one: a look a day early moves the next.
    """
    if not step.endures or last < first:
        return []
    if step.role is not Role.STRATIFY_COLD:
        if step.look_days is None:
            return []
        since = looked or start
        return every_days(since, step.look_days, since + timedelta(step.look_days), first, last)
    usual = min(step.look_days or FORTNIGHT, FORTNIGHT)
    half, least = start + timedelta(max(1, lasts.least // 2)), start + timedelta(lasts.least)
    if looked is not None:
        return [day for day in _from_look(looked, usual, half, least, last) if day >= first]
    found = every_days(start, usual, start + timedelta(usual), first, min(last, half - timedelta(1)))
    found += every_days(half, min(usual, WEEK), half, first, min(last, least - timedelta(1)))
    return found + _on_weekdays({least.weekday(), (least + timedelta(TWICE_A_WEEK)).weekday()}, max(first, least), last)


def _from_look(looked: date, usual: int, half: date, least: date, last: date) -> Iterator[date]:
    """The days after a look at seed in the cold, as `look_days` has them from its beginning."""
    week, day, late = timedelta(min(usual, WEEK)), looked, 0
    while True:
        if day >= least:
            day += timedelta(WEEK - TWICE_A_WEEK if late % 2 else TWICE_A_WEEK)
            late += 1
        else:
            closer = min(day + timedelta(usual), max(half, day + week)) if day < half else day + week
            day = min(closer, max(least, day + timedelta(TWICE_A_WEEK)))
        if day > last:
            return
        yield day


def said(step: Step, lasts: Days, start: date, day: date) -> str:
    """How often, on that day, in words."""
    if step.role is not Role.STRATIFY_COLD:
        return often(step.look_days or 0)
    gone = (day - start).days
    if gone >= lasts.least:
        return "twice a week"
    usual = min(step.look_days or FORTNIGHT, FORTNIGHT)
    return often(min(usual, WEEK) if gone >= lasts.least // 2 else usual)


def often(days: int) -> str:
    """`daily`, `every 3 days`, `weekly`, `every 2 weeks`."""
    if days % WEEK:
        return "daily" if days == 1 else f"every {days} days"
    return "weekly" if days == WEEK else f"every {days // WEEK} weeks"


def every_days(anchor: date, every: int, start: date, first: date, last: date) -> list[date]:
    """Every so many days from the anchor, not before `start`; `first` is reached by arithmetic, not by walking."""
    begin = max(start, first)
    if last < begin:
        return []
    steps = -(-(begin - anchor).days // every)
    begin = anchor + timedelta(steps * every)
    return [begin + timedelta(n) for n in range(0, (last - begin).days + 1, every)]


def _on_weekdays(weekdays: set[int], first: date, last: date) -> list[date]:
    """The days from `first` to `last` that fall on these, 0 being Monday."""
    days = (first + timedelta(n) for n in range((last - first).days + 1))
    return [day for day in days if day.weekday() in weekdays]
