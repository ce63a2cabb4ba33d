"""The first batches of a new farm: the places that their steps use, when each begins, and what is in hand already."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from engine.acts.action import Action, Refused
from engine.acts.propagation import Told, do
from engine.farm.model import Farm
from engine.protocols.roles import Role
from engine.reading.frozen import replace
from engine.records.records import Lot, apply
from engine.schedule.chain import ChainFault
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import plan_lot
from tui.cells import day
from tui.farmhouse import record_all
from tui.newfarm import PLACES, NewFarm, read_new

SOON = timedelta(60)
"""What begins later than so is told: it waits for another season's window."""


def started(new: NewFarm, on: date, file: str) -> NewFarm:
    """The farm with every place that the steps of its batches use.

    Raises Refused where what is said to be in hand is not collected at all.
    """
    farm = read_new(new, on, file).farm
    if farm is None:  # told by the rules of the farm file
        return new
    for lot in apply(farm, ()).lots:
        if lot.id in new.in_hand and not _collecting(lot):
            raise Refused(
                f"{lot.batch.protocol.method} of {lot.batch.species} begins with nothing collected",
                "take out `in hand`",
            )
    places = dict(PLACES if new.places is None else new.places)
    for name in _used(farm):
        if farm.place_for(name) not in places:
            places[name] = farm.under_cover(name)
    return replace(new, places=places)


def _used(farm: Farm) -> list[str]:
    """The places of all steps, in their order."""
    return list(dict.fromkeys(filter(None, (farm.where(b, s) for b in farm.batches for s in b.protocol.steps))))


def _collecting(lot: Lot) -> str:
    """The step by which its seed or wood is collected, where it begins with that."""
    steps = lot.batch.protocol.steps
    return steps[0].do if steps and lot.batch.protocol.role(steps[0].do) is Role.COLLECT else ""


def say_batches(new: NewFarm, on: date) -> str:
    """Each batch in words: by what, when its first window comes where that is far off; and the places it adds."""
    if not new.batches:
        return "none yet: b on the batches screen begins one"
    farm = read_new(new, on).farm
    told = []
    if farm is not None:
        nursery = open_nursery(farm, apply(farm, ()))
        for lot in nursery.records.lots:
            way = ", ".join(filter(None, (lot.batch.protocol.method, lot.batch.protocol.route)))
            name = farm.plant(lot.batch.species, lot.batch.cultivar)
            told.append(f"{lot.id}: {lot.batch.count} {name}, {way}; {_begins(nursery, lot, new, on)}")

        used = [name for name in _used(farm) if name in (new.places or {})]
        told.append(f"they will need these places: {', '.join(used)}")
    return "\n".join(filter(None, told))


def _begins(nursery: Nursery, lot: Lot, new: NewFarm, on: date) -> str:
    """`collect 5 Sep 27: its next window; if you hold it already, end with: , in hand`."""
    collecting = _collecting(lot)
    if lot.id in new.in_hand:
        return f"{collecting} is done"
    try:
        plan = plan_lot(nursery, lot, on)
    except ChainFault as fault:
        return str(fault)
    if plan.first_possible is None:
        return "; ".join(plan.problems) or "no year fits"
    k, ordinal = plan.first_possible
    step, when = plan.step(k).do, date.fromordinal(ordinal)
    told = f"{step} {day(when, True)}"
    if when - on <= SOON:
        return told
    told = f"its next window: {told}"
    return f"{told}; if you hold it already, end with: , in hand" if step == collecting else told


def record_in_hand(path: Path, new: NewFarm, on: date) -> None:
    """Record as done, on the day, the collecting of what is in hand. Raises JournalError."""
    farm = read_new(new, on, str(path)).farm
    if farm is None or not new.in_hand:
        return

    def make(nursery: Nursery, _: object) -> list[Action]:
        lots = [lot for lot in nursery.records.lots if lot.id in new.in_hand]
        return [do(nursery.records, lot, _collecting(lot), Told(), on, on) for lot in lots]

    record_all(path, farm, make)
