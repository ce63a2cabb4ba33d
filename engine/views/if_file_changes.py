"""What a change of the farm file would do: which marks would fall on other days, and how many tasks would move."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from engine.almanac.almanac import Almanac, say_day
from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.reading.frozen import replace
from engine.reading.said import percent
from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import Plan, plan_all
from engine.views.plan import MarkLine, year_marks

_SHOWN = 6
"""So many marks are named; the rest are counted."""


def as_of_late(farm: Farm, nursery: Nursery) -> Farm:
    """A farm read from a file, with what the thermometer of the present one had of late."""
    return replace(farm, site=replace(farm.site, thermometer=nursery.farm.site.thermometer))


def marks_moved(nursery: Nursery, farm: Farm, year: int) -> str:
    """Which marks of a year would fall on other days, were the farm so: `bud swell 12 Mar (now 20 Mar)`."""
    after = Almanac(as_of_late(farm, nursery).site, nursery.almanac.sightings)
    now, then = (_by_name(year_marks(almanac, year)) for almanac in (nursery.almanac, after))
    told = [
        f"{name} {_said(days)} (now {_said(now.get(name, ()))})" for name, days in then.items() if days != now.get(name)
    ]
    told += [f"{name} no longer" for name in now if name not in then]
    if not told:
        return f"no mark of {year} would move"
    more = f"; and {len(told) - _SHOWN} more" if len(told) > _SHOWN else ""
    return f"{'; '.join(told[:_SHOWN])}{more}"


def tasks_moved(nursery: Nursery, plans: Iterable[Plan], farm: Farm, entries: Iterable[Entry], today: date) -> int:
    """How many tasks to come would be aimed at another day, were the farm so; `entries` are those that stand."""
    farm = as_of_late(farm, nursery)
    then = open_nursery(farm, apply(farm, entries))
    now = dict(_aims(plans))
    return sum(now.get(task) != day for task, day in _aims(plan_all(then, today)))


def _by_name(marks: Iterable[MarkLine]) -> dict[str, tuple[date | None, ...]]:
    """The days of each mark, those of a frost date at each chance."""
    found: dict[str, tuple[date | None, ...]] = {}
    for mark in marks:
        name = mark.name if mark.chance is None else f"{mark.name} ({percent(mark.chance)})"
        found[name] = (*found.get(name, ()), mark.day)
    return found


def _aims(plans: Iterable[Plan]) -> Iterator[tuple[tuple[str, str], int | None]]:
    for plan in plans:
        for k, step in enumerate(plan.chain.protocol.steps):
            if not plan.done(k):
                yield (plan.lot.id, step.do), plan.now.aims[k]


def _said(days: tuple[date | None, ...]) -> str:
    return ", ".join(say_day(day.toordinal()) for day in days if day is not None) or "never"
