"""Several actions recorded at once, by one key: each is checked on the farm as those before it leave it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from engine.acts.action import Action
from engine.journal.entry import Entry
from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery

Make = Callable[[Nursery, Sequence[Entry]], Action]


def in_turn(nursery: Nursery, entries: Sequence[Entry], makes: Iterable[tuple[str, Make]]) -> list[Action]:
    """The actions, each with the batch or lot that it is about; what one does is known to the next of the same.

    `entries` are those that stand. Raises Refused as the first that is refused does: then none is recorded.
    """
    actions: list[Action] = []
    known, touched = list(entries), set[str]()
    for about, make in makes:
        if about in touched:
            nursery = open_nursery(nursery.farm.written, apply(nursery.farm, known, before=nursery.records), nursery)
            touched.clear()
        action = make(nursery, known)
        actions.append(action)
        known.append(Entry(f"~{len(actions)}", entries[-1].at if entries else "", action.on, action.kind, action.data))
        touched.add(about)
    return actions
