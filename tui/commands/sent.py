"""`widger sent`: record that a customer's parcel has gone, each of its lines with the lots that it was picked from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, print_json, say_done
from tui.commands.shared.entries import split_words
from tui.commands.shared.farms import enter, farm_path
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.journal.store import JournalError
    from engine.needs.sending import send
    from engine.records.words import said
    from tui.farmhouse import record_all
    from tui.paper.entry import entry_json

    farm, (who,) = split_words(call)
    house = enter(farm_path(farm[0] if farm else None))

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> list[Action]:
        return send(nursery, entries, who, call.on)

    try:
        written = record_all(house.path, house.farm, make)
    except JournalError as fault:
        raise Unusable(str(fault)) from None

    def tell() -> None:
        if call.json:
            print_json({"entries": [entry_json(entry) for entry in written]})
        else:
            for entry in written:
                say(said(entry))

    return say_done(tell)


COMMAND = Command(
    run,
    "[FARM] FOR",
    "record that a customer's parcel has gone: what it was picked from leaves the stock; one undo takes it back",
)
