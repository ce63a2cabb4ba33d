"""`widger done`: record a step done."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.acts import propagation

    farm, (batch, step) = split_words(call)

    def make(nursery: Nursery, _: tuple[Entry, ...]) -> Action:
        lot = propagation.find_lot(nursery.records, batch)
        count = lot.count - call.left if call.count is None else call.count
        if over := [s for s in lot.batch.protocol.before(propagation.find_step(lot, step)) if s not in lot.done]:
            print(f"not recorded and now passed over: {', '.join(sorted(over))}", file=sys.stderr)
        return propagation.do(nursery.records, lot, step, count, call.left, call.on, call.on, not call.apart)

    return record_one(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] BATCH STEP",
    "record a step done",
    (
        ("--count", {"type": int, "metavar": "N", "help": "how many came through (default: all)"}),
        ("--left", {"type": int, "default": 0, "metavar": "N", "help": "how many are still to be done"}),
        ("--apart", {"action": "store_true", "help": "keep parts apart that could be joined"}),
    ),
)
