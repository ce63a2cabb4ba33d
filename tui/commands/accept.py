"""`widger accept`: accept the next window for what was missed."""

from __future__ import annotations

from collections.abc import Sequence
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
    from engine.schedule.plan import plan_lot

    farm, (batch,) = split_words(call)

    def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
        return propagation.accept(plan_lot(nursery, propagation.find_lot(nursery.records, batch), call.on), call.on)

    return record_one(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] BATCH",
    "accept the next window for what was missed",
)
