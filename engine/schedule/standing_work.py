"""The days on which standing work falls, whatever is propagated."""

from __future__ import annotations

from datetime import date

from engine.almanac.windows import spans_of
from engine.farm.model import Standing
from engine.schedule.looks import every_days
from engine.schedule.nursery import Nursery


def standing_work(nursery: Nursery, on: date) -> tuple[Standing, ...]:
    """All standing work on a day: the farm's own, what plantings ask for, and what goes on with stock."""
    return (*nursery.farm.standing, *nursery.care(on))


def standing_days(nursery: Nursery, work: Standing, start: date, end: date) -> list[date]:
    """The days from `start` to `end` on which standing work falls: every so many days from its season's opening.

    None where its season never comes here.
    """
    if work.window.always:
        anchor = date(2000, 1, 3)
        return every_days(anchor, work.every_days, anchor, start, end)
    found: list[date] = []
    for span in spans_of(nursery.almanac, work.window).between(start.toordinal(), end.toordinal()):
        opens = date.fromordinal(span.opens)
        last = min(end, date.fromordinal(span.closes))
        found += every_days(opens, work.every_days, opens, max(start, opens), last)
    return found
