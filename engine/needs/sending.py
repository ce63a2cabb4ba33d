"""A parcel sent: one entry for each lot that it was picked from, told for the need that it meets."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.acts import stock as acts
from engine.acts.action import Action, Refused
from engine.journal.entry import Entry
from engine.needs.allotment import allot
from engine.needs.dispatch import parcels
from engine.reading.problems import nearest
from engine.schedule.nursery import Nursery
from engine.schedule.plan import plan_all


def send(nursery: Nursery, entries: Sequence[Entry], who: str, on: date) -> list[Action]:
    """The sales that send what is ready for one customer. Raises Refused where nothing is, or it may not go there."""
    found = parcels(nursery, allot(nursery, plan_all(nursery, on), on), on)
    parcel = next((p for p in found if p.who.lower() == who.strip().lower()), None)
    if parcel is None:
        raise Refused(f'nothing is to be sent to "{who}"', nearest(who, [p.who for p in found]))
    if parcel.blocked:
        raise Refused(f"{parcel.who} is not to be sent: {parcel.blocked}")
    picks = [(line, pick) for line in parcel.lines for pick in line.picks]
    if not picks:
        raise Refused(f"nothing of it is ready for {parcel.who}", "`widger needs` says what is short")
    ledger = acts.open_ledger(nursery.farm, nursery.records, entries, on, on)
    actions = []
    for line, pick in picks:
        held = acts.find_holding(ledger, pick.lot, pick.form, pick.grade, pick.place)
        actions.append(acts.sell(ledger, held, pick.count, parcel.who, line.need))
    return actions
