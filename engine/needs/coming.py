"""What a lot under propagation will give: as what, when, how many on the whole, and how many as good as surely."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from engine.farm.model import Farm
from engine.needs.lots_in_common import kind_of
from engine.needs.stays_and_losses import losses_of, stays_of, waits_of
from engine.odds.lots_to_come import Coming as Lot
from engine.odds.promise import expected, promise
from engine.protocols.forms import form_after
from engine.reading.frozen import dataclass
from engine.records.rates import Track, rates_for
from engine.schedule.plan import Plan

SURE = 0.9


@dataclass(frozen=True, slots=True)
class Coming:
    """How many of a lot come through, as what, and when it is ready (None: no year fits, or a step was missed)."""

    likely: int
    """The expected count; 0 where a step was missed or no year fits."""
    form: str
    ready: date | None
    lot: Lot
    losses: tuple[tuple[str, float], ...]
    """The chance in a year that a place where it will stand loses it whole."""
    missed: bool = False
    """A step missed its window: nothing comes until its next window is accepted, nor is the lot what it is to be."""
    next: str = ""
    """The step that it waits for: the one that was missed, else the first that is not done; "" where all are."""

    def sure(self) -> int:
        """So many or more come through with chance SURE. Some thousandths of a second the first time it is asked."""
        return 0 if self.ready is None else _sure(self.lot, self.losses)


def coming_of(
    farm: Farm, plan: Plan, today: date, track: Track, sowing: str = "", here: str = ""
) -> Coming | None:  # fmt: skip
    """What is expected of a lot, by the share of each step that is undone, or done and not counted since.

    `sowing` names the share that it has in common with other batches; none: with its own parts alone. `here` is where
    it stands today, if it is not where its protocol has it.

    None where nothing is to come any more, or nothing is left. The shares are the book's, as the grower's own track has
    taught better. What was seen lost since the last count is a part of what those shares expect to lose.
    """
    undone = [k for k in plan.chain.order if not plan.done(k) or plan.step(k).do in plan.lot.under]
    if not undone or plan.lot.count <= 0:
        return None
    form = ""
    for k in plan.chain.order:
        form = form_after(plan.step(k), plan.batch.protocol, form)
    rates = rates_for(track, plan.batch.protocol, plan.batch.cultivar, (plan.step(k) for k in undone))
    ordinal = plan.now.ready(plan.chain)
    late = [k for k in undone if plan.missed(k, today.toordinal())]
    missed = bool(late)
    ready = None if ordinal is None or missed else date.fromordinal(ordinal)
    stays = stays_of(farm, plan.batch, plan.chain, plan.now, today, here)
    losses = {place: loss for place, loss in losses_of(farm).items() if any(stay.place == place for stay in stays)}
    waits = waits_of(farm, plan.batch, plan.chain, plan.now, today, here)
    lot = Lot(plan.lot.into, rates, stays, sowing or plan.batch.id, kind_of(plan.batch.protocol), waits)
    likely = 0 if ready is None else min(plan.lot.count, round(expected([lot], losses)))
    waits_for = next((plan.step(k).do for k in (late or undone) if not plan.done(k)), "")
    return Coming(likely, form, ready, lot, tuple(losses.items()), missed, waits_for)


@lru_cache(maxsize=4096)
def _sure(lot: Lot, losses: tuple[tuple[str, float], ...]) -> int:
    return promise([lot], dict(losses), SURE).free
