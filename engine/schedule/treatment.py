"""How long the warm or cold treatment of a lot lasts, from what happened to it: outages, drying, radicles."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from engine.almanac.almanac import say_day, say_days
from engine.farm.model import Farm
from engine.protocols.model import Days, Step
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.reading.units import say_warmth
from engine.records.records import DRY_THROUGH, Lot, Outage
from engine.schedule.chain import Lasting
from engine.schedule.looks import RADICLES_WAIT
from engine.schedule.outage import ADD, FREEZES, RESTART, Meaning, meaning


@dataclass(frozen=True, slots=True)
class Course:
    """A treatment begun: `lasts` counts from its beginning, days that do not count and new beginnings included."""

    begun: date
    lasts: Days
    planned: Days
    """What it would last had nothing happened."""
    outages: tuple[tuple[Outage, Meaning], ...] = ()
    dried: date | None = None
    """When it last dried through."""
    best: Days | None = None
    """Within what it lasts, what is meant."""
    units: str = "metric"

    @property
    def told(self) -> tuple[str, ...]:
        """What happened, what it means and what that makes the least, in words."""
        told = list(self.happened)
        if told and self.lasts != self.planned:
            told.append(f"minimum is now day {self.lasts.least}, not {self.planned.least}")
        return tuple(told)

    @property
    def happened(self) -> tuple[str, ...]:
        """What happened and what it means."""
        told = [f"dried out {say_day(self.dried.toordinal())}: the count starts again then"] if self.dried else []
        for outage, means in self.outages:
            spell = f"{say_days(outage.days)} at {say_warmth(outage.temperature_c, self.units)}"
            told.append(f"{spell} to {say_day(outage.last.toordinal())}: {means.do}; {means.why}")
        return tuple(told)


def is_treatment(step: Step) -> bool:
    """Whether a step puts seed into the warm or the cold to ripen."""
    return step.role.stratifies and step.endures


def courses(farm: Farm, lot: Lot, outages: Iterable[Outage]) -> dict[str, Course]:
    """The treatments of a lot that have begun, by step."""
    outages = tuple(outages)
    return {
        step.do: _course(farm, lot, step, outages)
        for step in lot.batch.protocol.steps
        if is_treatment(step) and step.do in lot.done
    }


def lasting(lot: Lot, begun: Mapping[str, Course]) -> dict[str, Lasting]:
    """Steps that last otherwise than their protocol says, and how long, counted from their beginning.

    Radicles seen: it has lasted enough, and what follows is due within a week. Else as its course has it.
    """
    lasts: dict[str, Lasting] = {}
    for step in lot.batch.protocol.steps:
        if step.do not in lot.done or not step.endures:
            continue
        course = begun.get(step.do)
        seen = lot.radicles(step.do)
        if seen is not None:
            gone = max(0, (seen - lot.done[step.do].day).days)
            lasts[step.do] = Lasting(Days(gone, gone + RADICLES_WAIT), None)
        elif course is not None and course.lasts != step.lasts:
            lasts[step.do] = Lasting(course.lasts, course.best)
    return lasts


def _course(farm: Farm, lot: Lot, step: Step, outages: tuple[Outage, ...]) -> Course:
    """Walk through what happened, in order. No outage shortens the least: its days count as any other, or not.

    Nor does warmth in the cold put off the most, for it brings sprouting forward; frost, and chill in the warm, do.
    """
    begun = since = lot.done[step.do].day
    ended = lot.ended(step.do) or date.max
    seen = lot.radicles(step.do)
    here = farm.where(lot.batch, step)
    happened: list[tuple[date, int, Outage | None]] = [
        (look.day, 1, None) for look in lot.looks if look.step == step.do and look.finding == DRY_THROUGH
    ]
    happened += [(o.last, 0, o) for o in outages if here and farm.place_for(o.place) == here]
    lost: set[date] = set()  # days since `since` that do not count
    warm: set[date] = set()  # those of them on which it was too warm
    told: list[tuple[Outage, Meaning]] = []
    dried: date | None = None
    for day, _, outage in sorted(happened, key=lambda h: h[:2]):
        if outage is None:
            since, dried, lost, warm = max(since, day), day, set(), set()
            continue
        first, last = max(outage.first, since + timedelta(1)), min(outage.last, ended)
        if last < first:
            continue
        days = {first + timedelta(n) for n in range((last - first).days + 1)}
        gone = (first - since).days - 1 - len({d for d in lost if d < first})
        spell = (last - max(outage.first, begun + timedelta(1))).days + 1  # judged whole, also where it counts anew
        means = meaning(
            step, spell, outage.temperature_c, gone, step.lasts.least, seen is not None and seen <= last, farm.units
        )
        told.append((outage, means))
        if means.do == RESTART:
            since, lost, warm = last, set(), set()
        elif means.do == ADD:
            lost |= days
            if step.role is not Role.STRATIFY_WARM and outage.temperature_c > FREEZES:
                warm |= days
    anew = (since - begun).days
    lasts = _later(step.lasts, anew + len(lost), anew + len(lost - warm))
    best = step.best and _later(step.best, anew + len(lost), anew + len(lost - warm))
    return Course(begun, lasts, step.lasts, tuple(told), dried, best, farm.units)


def _later(days: Days, least: int, most: int) -> Days:
    """Days whose least is so many later, and whose most is so many, though never before the least."""
    return Days(days.least + least, None if days.most is None else max(days.most + most, days.least + least))
