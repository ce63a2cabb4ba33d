"""`widger hold`: hold a step, with a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts import propagation

    farm, (batch, step, reason) = split_words(call)
    return record_one(
        call,
        farm,
        lambda nursery, _: propagation.hold(propagation.find_lot(nursery.records, batch), step, reason, call.on),
    )


COMMAND = Command(
    run,
    "[FARM] BATCH STEP REASON",
    "hold a step, with a reason",
)
