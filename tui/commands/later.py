"""`widger later`: put a step off within its window."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words
from tui.typed_days import exact_day

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.acts import propagation
    from engine.schedule.plan import plan_lot

    farm, (batch, step, to) = split_words(call)
    day = exact_day(to)

    def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
        lot = propagation.find_lot(nursery.records, batch)
        return propagation.later(plan_lot(nursery, lot, call.on), step, day, call.on)

    return record_one(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] BATCH STEP DATE",
    "put a step off within its window",
)
