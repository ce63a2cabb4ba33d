"""What a lot under propagation will give: as what, when, how many on the whole, and how many as good as surely."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from engine.farm.model import Farm
from engine.needs.rates import Track, rates_for
from engine.odds.promise import Coming as Lot
from engine.odds.promise import expected, promise
from engine.schedule.plan import Plan
from engine.stock.forms import form_after

SURE = 0.9


@dataclass(frozen=True, slots=True)
class Coming:
    """How many of a lot come through, as what, and when it is ready (None: no year fits)."""

    likely: int
    """The expected count."""
    form: str
    ready: date | None
    lot: Lot
    loss: float
    """The chance in a year that the place where it stands loses it whole."""

    def sure(self) -> int:
        """So many or more come through with chance SURE. Some hundredths of a second the first time it is asked."""
        return _sure(self.lot, self.loss)


def coming_of(farm: Farm, plan: Plan, today: date, track: Track) -> Coming | None:
    """What is expected of a lot, by each undone step's share; None where all is done or nothing is left.

    The shares are the book's, as the grower's own track has taught better.
    """
    undone = [k for k in plan.chain.order if not plan.done(k)]
    if not undone or plan.lot.count <= 0 or any(plan.missed(k, today.toordinal()) for k in undone):
        return None  # what was missed comes when its next chance is accepted
    form = ""
    for k in plan.chain.order:
        form = form_after(plan.step(k).do, plan.batch.method, form)
    rates = rates_for(track, plan.batch.protocol, plan.batch.cultivar, (plan.step(k) for k in undone))
    ordinal = plan.now.ready(plan.chain)
    ready = None if ordinal is None else date.fromordinal(ordinal)
    place = farm.place_for(plan.step(undone[0]).place or plan.batch.place)
    loss = next((p.lot_loss_per_year for p in farm.places if p.name == place), None) or 0.0
    loss = min(loss, 0.999)
    lot = Lot(plan.lot.count, rates, place, max(0, (ready - today).days) if ready else 0)
    return Coming(round(expected([lot], {place: loss})), form, ready, lot, loss)


@lru_cache(maxsize=4096)
def _sure(lot: Lot, loss: float) -> int:
    return promise([lot], {lot.place: loss}, SURE).free
