"""`widger note`: write a note on a batch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts import propagation

    farm, (batch, text) = split_words(call)
    return record_one(
        call, farm, lambda nursery, _: propagation.note(propagation.find_lot(nursery.records, batch), text, call.on)
    )


COMMAND = Command(
    run,
    "[FARM] BATCH TEXT",
    "write a note on a batch",
)
