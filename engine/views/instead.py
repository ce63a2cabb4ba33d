"""A window was missed: the other methods and routes of that plant that are still open, with the material at hand."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.almanac.almanac import date_of, say_day
from engine.farm.model import Batch, Farm
from engine.farm.protocols import ways_of
from engine.needs.coming import SURE
from engine.needs.lots_in_common import kind_of
from engine.needs.stays_and_losses import losses_of, stays_of
from engine.needs.ways import unfit
from engine.odds.lots_to_come import Coming, stands
from engine.odds.promise import expected
from engine.odds.starts import surely
from engine.protocols.forms import said_takes
from engine.protocols.model import Protocol
from engine.reading.frozen import dataclass
from engine.records.rates import Track, rates_for
from engine.records.records import Lot
from engine.schedule.chain import ChainFault
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan, plan_lot


@dataclass(frozen=True, slots=True)
class Instead:
    """Another way for a lot that missed its window: its first act, and when; what it would give of `count`."""

    protocol: Protocol
    count: int
    step: str
    first: date
    ready: date
    likely: int
    sure: int
    """So many or more come through with chance SURE."""
    at_hand: tuple[str, ...] = ()
    """Steps of it that are done already: what they gave is at hand."""

    @property
    def title(self) -> str:
        """The method and, where it has several, the route."""
        return f"{self.protocol.method}, {self.protocol.route}" if self.protocol.route else self.protocol.method

    def says(self, today: date) -> str:
        """`seed, sown in autumn: sow 3 Nov, ready 1 Oct 2028, 45 likely of 60, 20 or more nine times in ten`."""
        when = "now" if self.first <= today else say_day(self.first.toordinal())
        takes = "" if self.at_hand else f"; it takes {self.count} {said_takes(self.protocol)}"
        gives = f"{self.likely} likely of {self.count}, {self.sure} or more nine times in ten"
        return f"{self.title}: {self.step} {when}, ready {say_day(self.ready.toordinal(), True)}, {gives}{takes}"


def missed_of(plan: Plan, today: date) -> int | None:
    """The first act of a lot that was missed and can be done another way: nothing of it is in the ground yet."""
    if any(step.role.leaves_going and step.do in plan.lot.done for step in plan.batch.protocol.steps):
        return None
    return next((k for k in plan.chain.order if plan.missed(k, today.toordinal())), None)


def ways_instead(nursery: Nursery, plan: Plan, today: date, track: Track) -> tuple[Instead, ...]:
    """The other ways of the plant whose first act comes before the next window of what was missed, the soonest ready
    first; none where nothing was missed."""
    k, lot, farm = missed_of(plan, today), plan.lot, nursery.farm
    if k is None:
        return ()
    chance = date_of(plan.now.aims[k]) or date.max
    found = (_instead(nursery, farm, lot, protocol, today, track) for protocol in _others(farm, plan.batch))
    return tuple(sorted((way for way in found if way and way.first < chance), key=lambda way: (way.ready, way.title)))


def _others(farm: Farm, batch: Batch) -> Iterable[Protocol]:
    mine = (batch.protocol.method, batch.protocol.route)
    for protocol in ways_of(farm, batch.species):
        if (protocol.method, protocol.route) != mine and not unfit(farm, protocol, batch.cultivar, "", ""):
            yield protocol


def _instead(nursery: Nursery, farm: Farm, lot: Lot, protocol: Protocol, today: date, track: Track) -> Instead | None:
    own = lot.batch
    batch = Batch("new", own.species, own.cultivar, protocol.method, lot.count, today, None, protocol, index=-1)
    steps = at_hand(lot, protocol)
    try:
        plan = plan_lot(nursery, Lot("new", batch, lot.count, {do: lot.done[do] for do in steps}), today)
    except ChainFault:
        return None
    aims = [(aim, k) for k in plan.undone if (aim := plan.now.aims[k]) is not None]
    ready = plan.now.ready(plan.chain)
    if not aims or ready is None:
        return None
    losses = losses_of(farm)
    stays = stays_of(farm, batch, plan.chain, plan.now, today)
    rates = rates_for(track, protocol, own.cultivar, (plan.step(k) for k in plan.undone))
    kind = kind_of(protocol)
    level = SURE / stands(stays, losses)
    first, k = min(aims)
    return Instead(
        protocol,
        lot.count,
        plan.step(k).do,
        date.fromordinal(first),
        date.fromordinal(ready),
        round(expected((Coming(lot.count, rates, stays, f"new {kind}", kind),), losses)),
        surely(lot.count, rates, level) if level < 1 else 0,
        steps,
    )


def at_hand(lot: Lot, protocol: Protocol) -> tuple[str, ...]:
    """The first steps of another protocol that are done to a lot already, where both begin with the same material."""
    steps: list[str] = []
    if protocol.takes == lot.batch.protocol.takes:
        for step in protocol.steps:
            if step.do not in lot.done:
                break
            steps.append(step.do)
    return tuple(steps)
