"""What missed its window is raised another way: a new batch with what is at hand, and the old lot is dropped."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.acts import propagation
from engine.acts.action import Action, Refused
from engine.acts.batches import NewBatch, free_id, new_batch
from engine.acts.several_at_once import Make, in_turn
from engine.journal.entry import Entry
from engine.protocols.model import Protocol
from engine.schedule.nursery import Nursery


def take_instead(
    nursery: Nursery, entries: Sequence[Entry], lot_id: str, protocol: Protocol, steps: Sequence[str], today: date
) -> list[Action]:
    """A lot goes another way: the new batch, its first `steps`, which are done already, and the end of the old lot.

    Raises Refused where the lot is not there or is given up.
    """
    lot = propagation.find_lot(nursery.records, lot_id)
    if lot.given_up is not None:
        raise Refused(f"{lot.id} is already dropped")
    batch = lot.batch
    name = free_id(nursery, nursery.farm.species_of(batch.species).name, today)
    wanted = NewBatch(
        name, batch.species, protocol.method, lot.count, today, None, protocol.route, batch.cultivar, batch.place,
        rootstock=batch.rootstock if protocol.onto else "", source=batch.source, came=batch.came,
    )  # fmt: skip
    title = f"{protocol.method}, {protocol.route}" if protocol.route else protocol.method

    def again(step: str) -> Make:
        def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
            new = propagation.find_lot(nursery.records, name)
            told = propagation.Told(lot.count, join=False)
            return propagation.do(nursery.records, new, step, told, lot.done[step].day, today)

        return make

    def end(nursery: Nursery) -> Action:
        old = propagation.find_lot(nursery.records, lot_id)
        return propagation.drop(old, "", f"goes on as {name} by {title}", today)

    makes: list[tuple[str, Make]] = [(name, lambda n, _: new_batch(n, wanted, today))]
    makes += [(name, again(step)) for step in steps]
    return in_turn(nursery, entries, [*makes, (lot_id, lambda n, _: end(n))])
