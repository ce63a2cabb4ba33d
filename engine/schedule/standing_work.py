"""The days on which standing work falls, whatever is propagated."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from engine.almanac.windows import spans_of
from engine.farm.model import Standing
from engine.reading.frozen import replace
from engine.schedule.looks import every_days
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day

Used = Mapping[str, int]
"""By place, the day (an ordinal) from which something stands there; 0 where it does now."""


def standing_work(
    nursery: Nursery, on: date, used: Used | None = None, by: date | None = None
) -> tuple[Standing, ...]:  # fmt: skip
    """All standing work on a day: the farm's own, what plantings ask for, and what goes on with stock.

    Of the farm's own, with what is `used`, only that of places where something stands by then, if it is not done there
    anyway: nobody weeds an empty bed, nor works in a place that the farm does not list.
    """
    farm, last = nursery.farm, (by or on).toordinal()
    own = [replace(w, place=place) if (place := farm.place_for(w.place)) != w.place else w for w in farm.standing]
    if used is not None:
        listed = {place.name for place in farm.places}
        own = [
            work
            for work in own
            if work.index < 0
            or (work.when_empty and (not listed or work.place in listed))
            or used.get(work.place, last + 1) <= last
        ]
    return (*own, *nursery.care(on))


def used_from(day: Day) -> Used:
    """From when something stands in each place: what is in stock or kept there now, and what plans will bring.

    Nothing where the farm has no standing work of its own: nobody asks then.
    """
    nursery, plans, _ = day
    farm = nursery.farm
    if not farm.standing:
        return {}
    used: dict[str, int] = {}
    where: dict[tuple[str, str], str] = {}  # a farm has many lots, and few places
    for plan in plans:
        for k, step in enumerate(plan.chain.protocol.steps):
            aim, words = plan.now.aims[k], (step.place, plan.batch.place)
            if aim is not None and step.do not in plan.lot.done:
                if (place := where.get(words)) is None:
                    place = where[words] = farm.where(plan.batch, step)
                if place:
                    used[place] = min(aim, used.get(place, aim))
    places = {held.place for held in nursery.records.stock.holdings} | {mother.place for mother in farm.stock_plants}
    there = {farm.place_for(place) for place in places} | {planting.name for planting in farm.plantings}
    return {**used, **dict.fromkeys(there, 0)}


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
