"""A protocol as a batch that is being thought of would go through it: its days, shares, hours, places and room."""

from __future__ import annotations

from datetime import date

from engine.almanac.almanac import date_of
from engine.farm.model import Batch
from engine.needs.lots_in_common import kind_of
from engine.needs.stays_and_losses import stays_of, waits_of
from engine.odds.lots_to_come import Coming, Stay
from engine.protocols.forms import form_after
from engine.protocols.model import Protocol
from engine.reading.frozen import dataclass
from engine.records.rates import Shares, Track, shares_of
from engine.records.records import Lot
from engine.schedule.chain import ChainFault
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan, plan_lot
from engine.schedule.room import Held, Stand, stands_of


@dataclass(frozen=True, slots=True)
class Prospect:
    """One protocol and what a batch of it would meet with, begun from a day or ready by one.

    `plan` is None where the protocol can be followed nowhere; `troubles` say so, and else what does not fit.
    """

    protocol: Protocol
    form: str
    """As what it ends."""
    plan: Plan | None
    shares: Shares
    stays: tuple[Stay, ...]
    troubles: tuple[str, ...]
    waits: Stay | None = None
    """Where it stands once it is ready, should that place lose lots."""
    stands: tuple[Stand, ...] = ()
    """Where it takes room, and from when to when."""

    @property
    def first(self) -> tuple[str, date] | None:
        """The first act and the day it aims at; None where no year fits."""
        if self.plan is None:
            return None
        found = min(((aim, k) for k, aim in enumerate(self.plan.now.aims) if aim is not None), default=None)
        return None if found is None else (self.protocol.steps[found[1]].do, date.fromordinal(found[0]))

    @property
    def ready(self) -> date | None:
        """When all of it is done; None where no year fits."""
        ordinal = None if self.plan is None else self.plan.now.ready(self.plan.chain)
        return date_of(ordinal)

    def into(self, k: int, count: int) -> float:
        """How many of `count` are expected to be left when step k comes."""
        shares, left = {i: learned.rate.mean for i, learned in self.shares.learned}, float(count)
        for i in self.plan.chain.precedes(k) if self.plan else ():
            left *= shares.get(i, 1.0)
        return left

    def hours(self, count: int) -> float | None:
        """Hours for all acts that a rate is known of, each for as many as are expected to be left; None: none is."""
        found = [self.into(k, count) / step.per_hour for k, step in enumerate(self.protocol.steps) if step.per_hour]
        return sum(found) if found and self.plan else None

    def room(self, count: int) -> tuple[Held, ...]:
        """The room that a batch of so many takes: of what units, in which places, from when to when."""
        found, shares = [], {k: learned.rate.mean for k, learned in self.shares.learned}
        for stand in self.stands:
            there = self.into(stand.k, count) * (shares.get(stand.k, 1.0) if stand.room.left else 1.0)
            if there > 0:
                unit = stand.room.unit
                found.append(Held("", stand.place, unit, stand.room.takes(there), stand.since, stand.until))
        return tuple(found)

    def lot(self, count: int) -> Coming:
        """So many started, as a lot that is to come: two such lots are as parts of one."""
        kind = kind_of(self.protocol)
        return Coming(count, self.shares.rates, self.stays, f"new {kind}", kind, self.waits)


def prospect_of(
    nursery: Nursery,
    protocol: Protocol,
    cultivar: str,
    start: date | None,
    ready: date | None,
    today: date,
    track: Track,
) -> Prospect:
    """What a batch would meet with, nothing before `start`, done by `ready`; with neither, from today on."""
    form = ""
    for step in protocol.steps:
        form = form_after(step, protocol, form)
    if start is None and ready is None:
        start = today
    batch = Batch("new", protocol.species, cultivar, protocol.method, 1, start, ready, protocol, index=-1)
    try:
        plan = plan_lot(nursery, Lot("new", batch, 1), today)
    except ChainFault as fault:
        return Prospect(protocol, form, None, Shares(), (), (str(fault),))
    shares = shares_of(track, protocol, cultivar, plan.chain.order)
    stays = stays_of(nursery.farm, batch, plan.chain, plan.now, today)
    waits = waits_of(nursery.farm, batch, plan.chain, plan.now, today)
    return Prospect(protocol, form, plan, shares, stays, plan.problems, waits, stands_of(nursery.farm, plan))
