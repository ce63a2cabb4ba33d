"""Which lots have a share in common: the parts of a batch, sowings of one seed lot in one place at one time, and the
batches of a plant by one method."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.farm.model import Farm
from engine.protocols.model import Protocol
from engine.schedule.plan import Plan


def kind_of(protocol: Protocol) -> str:
    """What batches of one method share: what is not known of its mean."""
    return f"{protocol.species}, {protocol.method}, {protocol.route}"


def sowings(farm: Farm, plans: Iterable[Plan]) -> dict[str, str]:
    """By the id of a batch: what names its share. Batches of one plant by one method that go into their first step of
    loss in one place on one day are as parts of one."""
    days: dict[str, tuple[int, str]] = {}
    for plan in plans:
        batch = plan.batch
        k = next((k for k in plan.chain.order if plan.step(k).survive is not None), None)
        day = None if k is None else _day(plan, k)
        if k is not None and day is not None:
            told = f"{kind_of(batch.protocol)}, {batch.cultivar}, {farm.where(batch, plan.step(k))}"
            days[batch.id] = min(days.get(batch.id, (day, told)), (day, told))
    return {batch: f"{told}, {date.fromordinal(day)}" for batch, (day, told) in days.items()}


def _day(plan: Plan, k: int) -> int | None:
    done = plan.lot.done.get(plan.step(k).do)
    return plan.now.aims[k] if done is None else done.day.toordinal()
