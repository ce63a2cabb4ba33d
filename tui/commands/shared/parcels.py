"""What the commands on parcels share: several entries written at once, for one customer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from tui.commands.shared.call import Unusable, print_json, say_done
from tui.commands.shared.farms import enter, farm_path
from tui.out import say, warn

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def record_several(
    call: Namespace, farm: Sequence[str], make: Callable[[Nursery, tuple[Entry, ...]], Sequence[Action]]
) -> int:
    """Record several actions in one append, all or none; one undo takes them all back."""
    from engine.journal.store import JournalError
    from engine.records.words import said
    from tui.farmhouse import record_all
    from tui.paper.entry import entry_json

    house = enter(farm_path(farm[0] if farm else None))
    try:
        written = record_all(house.path, house.farm, make, tell=warn)
    except JournalError as fault:
        raise Unusable(str(fault)) from None

    def tell() -> None:
        if call.json:
            print_json({"entries": [entry_json(entry) for entry in written]})
        else:
            for entry in written:
                say(said(entry))

    return say_done(tell)
