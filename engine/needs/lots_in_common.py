"""Which lots have a share in common: the parts of a batch, sowings of one seed lot in one place in one week, and the
batches of a plant by one method."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.acts.propagation import JOIN_WITHIN
from engine.farm.model import Farm
from engine.protocols.model import Protocol
from engine.schedule.plan import Plan


def kind_of(protocol: Protocol) -> str:
    """What batches of one method share: what is not known of its mean."""
    return f"{protocol.species}, {protocol.method}, {protocol.route}"


def sowings(farm: Farm, plans: Iterable[Plan]) -> dict[str, str]:
    """By the id of a batch: what names its share.

    Batches of one plant and cultivar by one method that go into their first step of loss in one place within a week of
    the first of them are as parts of one: one seed lot, one hand, one weather. They are those that might have been one
    batch done in parts, which can be joined as long as that. What goes in later has the method's mean in common alone.
    """
    days: dict[str, tuple[int, str]] = {}
    for plan in plans:
        batch = plan.batch
        k = next((k for k in plan.chain.order if plan.step(k).survive is not None), None)
        day = None if k is None else _day(plan, k)
        if k is not None and day is not None:
            told = f"{kind_of(batch.protocol)}, {batch.cultivar}, {farm.where(batch, plan.step(k))}"
            days[batch.id] = min(days.get(batch.id, (day, told)), (day, told))
    found, first = dict[str, str](), dict[str, int]()
    for batch_id, (day, told) in sorted(days.items(), key=lambda each: each[1]):
        if day - first.get(told, day - JOIN_WITHIN - 1) > JOIN_WITHIN:
            first[told] = day
        found[batch_id] = f"{told}, {date.fromordinal(first[told])}"
    return found


def _day(plan: Plan, k: int) -> int | None:
    done = plan.lot.done.get(plan.step(k).do)
    return plan.now.aims[k] if done is None else done.day.toordinal()
