"""`widger look`: record a look: nothing, radicles, mould, dry, or dry through."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts import propagation

    farm, (batch, step, finding) = split_words(call)
    return record_one(
        call,
        farm,
        lambda nursery, _: propagation.look(
            propagation.find_lot(nursery.records, batch), step, finding, call.on, call.on
        ),
    )


COMMAND = Command(
    run,
    "[FARM] BATCH STEP FINDING",
    "record a look: nothing, radicles, mould, dry, or dry through",
)
