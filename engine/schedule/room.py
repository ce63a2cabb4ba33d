"""The room that a lot takes: how much of which place, from which act until it moves on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from engine.farm.model import Farm
from engine.protocols.room import Room, read_room
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
    step, count = plan.step(stand.k), float(plan.count(stand.k))
    done = plan.lot.done.get(step.do)
    told = done is not None and done.count < done.into
    return count * step.survive if stand.room.left and step.survive is not None and not told else count


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
