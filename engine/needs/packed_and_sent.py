"""A parcel packed, sent or fetched, and what goes in the stead of what is short: each an entry for each line."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.acts import stock as acts
from engine.acts.action import Action, Refused
from engine.acts.find_in_stock import find_holding, open_ledger
from engine.acts.needs import NeedChange, amend_need, find_need, free_need_id, new_need, withdraw_need
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.needs.allotment import Allotment, StockLine, allot
from engine.needs.dispatch import Parcel, ParcelLine, parcels
from engine.protocols.forms import SEED, raised_from
from engine.protocols.grades import saleable
from engine.reading.problems import nearest
from engine.schedule.nursery import Nursery
from engine.schedule.plan import day_of


def find_parcel(nursery: Nursery, who: str, on: date) -> Parcel:
    """The parcel for a customer as it stands on a day. Raises Refused where there is nothing to send to them."""
    found = parcels(nursery, allot(day_of(nursery, on)), on)
    parcel = next((p for p in found if p.who.lower() == who.strip().lower()), None)
    if parcel is None:
        raise Refused(f'there is nothing to send to "{who}"', nearest(who, [p.who for p in found]))
    return parcel


def _may_go(parcel: Parcel, fetched: bool) -> None:
    told = parcel.refused if fetched else parcel.blocked
    if told:
        raise Refused(f"the parcel for {parcel.who} cannot go: {told}")
    if not parcel.ready:
        raise Refused(f"nothing is ready for {parcel.who} yet", "`widger needs` shows what is short")


def send(nursery: Nursery, entries: Sequence[Entry], who: str, on: date, fetched: bool = False) -> list[Action]:
    """The sales that send what is ready for one customer; to a planting of the farm's own it is planted out.

    What is `fetched` may go on any day, but not where it may not go at all. Raises Refused where nothing is ready, or
    it may not go there.
    """
    parcel = find_parcel(nursery, who, on)
    _may_go(parcel, fetched)
    ledger = open_ledger(nursery.farm, nursery.records, entries, on, on)
    kind = "plant_out" if parcel.planting else "sell"
    actions = []
    for line in parcel.lines:
        for pick in line.picks:
            held = find_holding(ledger, pick.lot, pick.form, pick.grade, pick.place)
            actions.append(acts.sell(ledger, held, pick.count, parcel.who, line.need, kind=kind))
    return actions


def pack(nursery: Nursery, who: str, on: date) -> list[Action]:
    """What is ready for a customer stands packed. Raises Refused as `send` does, and where it is packed already."""
    parcel = find_parcel(nursery, who, on)
    _may_go(parcel, fetched=True)
    if parcel.packed:
        raise Refused(f"what is ready for {parcel.who} is packed already")
    counts = {line.need: sum(pick.count for pick in line.picks) for line in parcel.lines}
    return [Action("packed", on, {"need": need, "count": count}) for need, count in counts.items() if count]


def stand_ins(allotted: Allotment, line: ParcelLine) -> tuple[StockLine, ...]:
    """What is free in stock and might go in the stead of what is short: of its species first, then of its genus."""
    genus = line.species.split()[0]

    def near(other: StockLine) -> tuple[int, str]:
        return (0 if other.species == line.species else 1 if other.species.split()[0] == genus else 2), other.name

    found = (
        other for other in allotted.lines
        if other.free > 0 and other.unit != "g" and saleable(other.grade) and not other.doubtful
        and (other.form.lower() == SEED if line.form.lower() == SEED else not raised_from(other.form))
    )  # fmt: skip
    return tuple(sorted(found, key=near))


def substitute(
    nursery: Nursery, entries: Sequence[Entry], need: str, instead: StockLine, count: int, word: str, on: date
) -> list[Action]:
    """So many of what a need is short of are taken of another kind, with the customer's word for it.

    The need asks for so many fewer, and a new one for the same customer asks for the other kind. Raises Refused for a
    planting's need, a count that is not there, and without the customer's word.
    """
    found = find_need(nursery.farm, need)
    words = " ".join(word.split())
    if not words:
        raise Refused("a substitute needs the customer's word", "say who agreed, and how: `by telephone, 3 Mar`")
    if not 1 <= count <= min(instead.free, found.count):
        most = min(instead.free, found.count)
        raise Refused(f"{count} cannot go instead", f"{instead.free} of {instead.lot} are free: from 1 to {most}")
    left = found.count - count
    if left:
        fewer = amend_need(nursery, found.id, on, NeedChange(count=left))
    else:
        fewer = withdraw_need(nursery, found.id, words, on)
    name = free_need_id(nursery, entries, found.id, found.by or on)
    by = found.by if found.by is not None and found.by >= on else None
    other = Need(
        name, instead.species, "" if instead.doubtful else instead.cultivar, instead.form, count, by, found.sure,
        found.who, instead.grade,
    )  # fmt: skip
    asked = new_need(nursery, entries, other, on)
    return [fewer, Action(asked.kind, on, {**asked.data, "instead_of": found.id, "word": words})]
