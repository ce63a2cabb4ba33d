"""The marks of a year at the site, computed and seen, and which acts to come rest on each of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.acts.marks_seen import can_be_seen
from engine.almanac.almanac import Almanac, date_of
from engine.almanac.phrases import FROST_MARKS, MarkBase, Phrase
from engine.reading.frozen import dataclass
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan
from engine.views.plan import MarkLine, year_marks

HALF_A_YEAR = 183


@dataclass(frozen=True, slots=True)
class Resting:
    """An act to come whose window a mark opens or closes, and the day at which it is aimed."""

    lot: str
    step: str
    day: date


@dataclass(frozen=True, slots=True)
class SiteMark:
    """A mark in a year; `seen` where the grower's record of that season set its date."""

    mark: MarkLine
    seen: bool
    resting: tuple[Resting, ...]
    """Those of the mark (50 % chance); a mark at another chance has them at that chance."""

    @property
    def can_be_seen(self) -> bool:
        """Whether it can be recorded as seen, and is not a mark at another chance."""
        return can_be_seen(self.mark.name) and self.mark.chance in (None, 0.5)


def site_marks(nursery: Nursery, plans: Iterable[Plan], year: int) -> tuple[SiteMark, ...]:
    """Every mark of a calendar year by date, those that do not come at the end."""
    almanac = nursery.almanac
    seen = {(sighting.mark, sighting.day) for sighting in almanac.sightings}
    rests = _resting(nursery, plans)
    return tuple(
        SiteMark(
            mark,
            (mark.name, mark.day) in seen,
            tuple(act for act in rests.get((mark.name, _asked(mark)), ()) if _of_season(mark, act)),
        )
        for mark in year_marks(almanac, year)
    )


def _asked(mark: MarkLine) -> float | None:
    """The chance at which a phrase names this mark: even odds are what it says without one."""
    return None if mark.chance in (None, 0.5) else mark.chance


def _of_season(mark: MarkLine, act: Resting) -> bool:
    """Whether it is this season's mark that an act rests on, not that of the year before or after."""
    return mark.day is not None and abs((act.day - mark.day).days) <= HALF_A_YEAR


def _resting(nursery: Nursery, plans: Iterable[Plan]) -> dict[tuple[str, float | None], tuple[Resting, ...]]:
    """Acts that are still to be done by what their windows rest on, near or far: a mark's name and its chance."""
    found: dict[tuple[str, float | None], dict[Resting, None]] = {}
    under: dict[tuple[int, int], frozenset[tuple[str, float | None]]] = {}  # many lots take the same steps
    for plan in plans:
        almanac = nursery.almanac_for(plan.batch.species)
        for k, step in enumerate(plan.chain.protocol.steps):
            aim = date_of(plan.now.aims[k])
            if plan.done(k) or aim is None:
                continue
            if (of := (id(almanac), id(step))) not in under:
                under[of] = marks_under(almanac, step.phrases)
            resting = Resting(plan.lot.id, step.do, aim)
            for mark in under[of]:
                found.setdefault(mark, {})[resting] = None
    return {mark: tuple(sorted(acts, key=lambda act: (act.day, act.lot))) for mark, acts in found.items()}


def marks_under(almanac: Almanac, phrases: Iterable[Phrase]) -> frozenset[tuple[str, float | None]]:
    """Every mark that phrases rest on here, near and far, each with the chance at which it is named."""
    found: set[tuple[str, float | None]] = set()
    todo = list(phrases)
    while todo:
        base = todo.pop().base
        if isinstance(base, MarkBase) and (base.name, base.chance) not in found:
            found.add((base.name, base.chance))
            if base.name not in FROST_MARKS:
                todo += [p for layer in almanac.layers if base.name in layer for p in layer[base.name].phrases]
    return frozenset(found)
