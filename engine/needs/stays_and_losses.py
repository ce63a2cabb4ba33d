"""Where a lot stands from today until it is ready, and how likely each place is to lose it whole."""

from __future__ import annotations

from datetime import date
from math import expm1, log1p

from engine.farm.model import Batch, Farm, Place
from engine.odds.lots_to_come import Stay
from engine.reading.said import percent
from engine.schedule.chain import Chain
from engine.schedule.placing import Placement

PRIOR_YEARS = 10
"""What a farm says of a place is worth ten years of watching it: a loss in fifteen years is not told sooner."""


def losses_of(farm: Farm) -> dict[str, float]:
    """The chance in a year, 0 to below 1, that a place loses whatever stands in it."""
    return {p.name: loss for p in farm.places if (loss := loss_of(p)) > 0}


def loss_of(place: Place) -> float:
    """What the farm says of a place, as what was seen there has taught better.

    Losses come as a Poisson process, whose rate has a gamma prior of the farm's figure, worth PRIOR_YEARS (Gelman and
    others, Bayesian Data Analysis, on the Poisson model: from memory).
    """
    told = min(place.lot_loss_per_year or 0.0, 0.999)
    if not place.years_seen and not place.losses_seen:
        return told
    rate = (-log1p(-told) * PRIOR_YEARS + place.losses_seen) / (PRIOR_YEARS + place.years_seen)
    return min(-expm1(-rate), 0.999)


def say_loss(place: Place) -> str:
    """What the chance of a place rests on: `mist bench loses a whole lot in 14% of years: 1 seen in 2.1, 10% told`."""
    told = f"{percent(place.lot_loss_per_year) if place.lot_loss_per_year else 'none'} from the farm file"
    seen = f"{place.losses_seen} seen in {place.years_seen:.1f} years, {told}"
    return f"{place.name} loses a whole lot in {percent(loss_of(place))} of years: {seen}"


def stays_of(
    farm: Farm, batch: Batch, chain: Chain, placed: Placement, today: date, here: str = ""
) -> tuple[Stay, ...]:  # fmt: skip
    """Its stays in places that lose lots: in each from an act there to the next, by the aims, from today on.

    Before its first act there is nothing to lose. Until its next act it stands `here`, where that is known: it may have
    been moved.
    """
    losses, now = losses_of(farm), today.toordinal()
    ready = placed.ready(chain)
    if not losses or ready is None:
        return ()
    aims = sorted((aim, chain.order.index(k), k) for k in chain.order if (aim := placed.aims[k]) is not None)
    stays: list[Stay] = []
    for n, (aim, _, k) in enumerate(aims):
        where = (here if k in placed.wish.done else "") or farm.where(batch, chain.protocol.steps[k])
        since, until = max(0, aim - now), (aims[n + 1][0] if n + 1 < len(aims) else ready) - now
        if where not in losses or until <= since:
            continue
        if stays and stays[-1].place == where and stays[-1].until == since:
            since = int(stays.pop().since)
        stays.append(Stay(where, until, since))
    return tuple(stays)


def waits_of(
    farm: Farm, batch: Batch, chain: Chain, placed: Placement, today: date, here: str = ""
) -> Stay | None:  # fmt: skip
    """Where it stands from the day it is ready until it goes out: `here`, where all is done and that is known.

    None where no year fits, or nothing is lost there.
    """
    ready = placed.ready(chain)
    last = max(
        ((aim, chain.order.index(k), k) for k in chain.order if (aim := placed.aims[k]) is not None), default=None
    )
    if ready is None or last is None:
        return None
    where = (here if last[2] in placed.wish.done else "") or farm.where(batch, chain.protocol.steps[last[2]])
    since = max(0, ready - today.toordinal())
    return Stay(where, since, since) if where in losses_of(farm) else None
