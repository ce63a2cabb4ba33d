"""The room that a lot takes: how much of which place, from which act until it moves on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from engine.almanac.almanac import say_day
from engine.farm.model import Farm
from engine.protocols.room import Room, read_limits, read_room, say_amount, say_number
from engine.reading.frozen import dataclass
from engine.schedule.plan import Plan


@dataclass(frozen=True, slots=True)
class Stand:
    """Act `k` sets a lot down in a place: it stands there from one day until, not counting, another (ordinals)."""

    k: int
    place: str
    room: Room
    since: int
    until: int


@dataclass(frozen=True, slots=True)
class Held:
    """So many units of a place that are taken from one day until, not counting, another (ordinals)."""

    lot: str
    place: str
    unit: str
    amount: float
    since: int
    until: int


def stands_of(farm: Farm, plan: Plan) -> tuple[Stand, ...]:
    """Where a lot stands and takes room, by the aims of its acts.

    From an act whose step has a room of its own until the first act after it that is done elsewhere or has another,
    else until the lot is ready. What is done in the same place meanwhile changes nothing.
    """
    chain, aims = plan.chain, plan.now.aims
    steps, ready = chain.protocol.steps, plan.now.ready(chain)
    if ready is None:
        return ()
    found = []
    for k, step in enumerate(steps):
        since, place = aims[k], farm.where(plan.batch, step)
        if not step.room or since is None or not place:
            continue
        moved = [
            day
            for j in chain.reaches(k)
            if j != k and (day := aims[j]) is not None and (steps[j].room or farm.where(plan.batch, steps[j]) != place)
        ]
        until = min(moved, default=ready)
        if until > since:
            found.append(Stand(k, place, read_room(step.room), since, until))
    return tuple(found)


def held_by(farm: Farm, plan: Plan, today: int) -> tuple[Held, ...]:
    """The room that a lot takes from today on. What has left a place takes none; what stands there counts as it is."""
    found = []
    for stand in stands_of(farm, plan):
        if stand.until <= today:
            continue
        count = standing(plan, stand)
        if count > 0:
            amount = stand.room.takes(count)
            found.append(Held(plan.lot.id, stand.place, stand.room.unit, amount, stand.since, stand.until))
    return tuple(found)


def standing(plan: Plan, stand: Stand) -> float:
    """How many stand there: of what is done, as many as there are; else what the acts before are expected to leave.

    Where seedlings are meant, those that the sowing is expected to give, until it was told what it gave.
    """
    count, done = float(plan.count(stand.k)), plan.lot.done.get(plan.step(stand.k).do)
    told = done is not None and done.count < done.into
    return count * plan.share(stand.k) if stand.room.left and not told else count


@dataclass(frozen=True, slots=True)
class Peak:
    """The most that is taken at once, and the first day (ordinal) of it."""

    amount: float
    day: int


def peak(helds: Iterable[Held], first: int, last: int) -> Peak:
    """The most of one unit of one place that is taken on any day from `first` to `last`, both counted."""
    change: dict[int, float] = defaultdict(float)
    for held in helds:
        since, until = max(held.since, first), min(held.until, last + 1)
        if since < until:
            change[since] += held.amount
            change[until] -= held.amount
    taken, most = 0.0, Peak(0.0, first)
    for day in sorted(change):
        taken += change[day]
        if taken > most.amount + 1e-9:
            most = Peak(taken, day)
    return most


def by_place(helds: Iterable[Held]) -> dict[tuple[str, str], list[Held]]:
    """What is held, by place and unit."""
    found: dict[tuple[str, str], list[Held]] = {}
    for held in helds:
        found.setdefault((held.place, held.unit), []).append(held)
    return found


TIE = 1e-6


def limits_of(farm: Farm) -> dict[tuple[str, str], float]:
    """What the farm says that each place holds, by place and unit."""
    return {(p.name, unit): amount for p in farm.places if p.room for unit, amount in read_limits(p.room).items()}


def all_held(farm: Farm, plans: Iterable[Plan], today: date) -> dict[tuple[str, str], list[Held]]:
    """What all lots under way take from today on, by place and unit."""
    return by_place(held for plan in plans for held in held_by(farm, plan, today.toordinal()))


def say_room(helds: Iterable[Held], units: str = "metric") -> str:
    """`room: mist bench 2 trays, nursery beds 9 m of row`: the most at once of each; nothing where none is known."""
    told: dict[str, list[str]] = {}
    for (place, unit), held in by_place(helds).items():
        most = peak(held, min(each.since for each in held), max(each.until for each in held))
        told.setdefault(place, []).append(say_amount(most.amount, unit, units))
    places = (f"{place} {' and '.join(amounts)}" for place, amounts in told.items())
    return f"room: {', '.join(places)}" if told else ""


def overfull(farm: Farm, others: Mapping[tuple[str, str], Sequence[Held]], helds: Iterable[Held]) -> tuple[str, ...]:
    """The places that a batch would overfill while it stands there: `mist bench too full: 46 of 40 trays on 14 Jun`."""
    limits, told = limits_of(farm), []
    for (place, unit), mine in by_place(helds).items():
        holds = limits.get((place, unit))
        if holds is None:
            continue
        # While it stands there: what is too full without it is no fault of its own.
        peaks = [peak((*others.get((place, unit), ()), *mine), each.since, each.until - 1) for each in mine]
        most = max(peaks, key=lambda p: p.amount)
        if most.amount > holds + TIE:
            amounts = f"{say_number(most.amount, unit, farm.units)} of {say_amount(holds, unit, farm.units)}"
            told.append(f"{place} too full: {amounts} on {say_day(most.day, True)}")
    return tuple(told)
