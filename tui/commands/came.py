"""`widger came`: record that what was ordered for a batch has come: rootstocks, seed, scions, pots."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words
from tui.typed_numbers import count_of

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    """What was ordered for a batch has come."""
    from engine.needs.arrivals import came as has_come
    from engine.schedule.plan import Day, plan_all

    farm, (lot,) = split_words(call)
    count, left = (None if text is None else count_of(text) for text in (call.count, call.left))

    def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
        return has_come(
            Day(nursery, plan_all(nursery, call.on), max(call.on, door.today())), lot, call.on,
            item=call.item or "", count=count, left=left or 0, source=call.source or "",
        )  # fmt: skip

    return record_one(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] LOT",
    "record that what was ordered for a batch has come: rootstocks, seed, scions, pots",
    (
        ("-i --item", {"metavar": "WHAT", "help": "such as rootstocks or pots, where it waits for several"}),
        ("-c --count", {"metavar": "N", "help": "how many came (default: all that were ordered)"}),
        ("-l --left", {"metavar": "N", "help": "how many are still to come"}),
        ("--from", {"dest": "source", "metavar": "WHOM", "help": "from whom"}),
    ),
)
