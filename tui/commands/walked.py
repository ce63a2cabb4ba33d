"""`widger walked`: record what a walk finds of one plant of a planting."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts import plantings

    farm, (planting, position, state) = split_words(call)
    return record_one(
        call,
        farm,
        lambda nursery, _: plantings.walked(
            nursery, planting, position, state, call.on, call.on, call.cause or "", call.note or ""
        ),
    )


COMMAND = Command(
    run,
    "[FARM] PLANTING POSITION STATE",
    "record what a walk finds of one plant: alive, bearing, dead, planted, guard off, guard on or note",
    (
        ("-c --cause", {"metavar": "CAUSE", "help": "of a death: browsed, girdled, mown, drought, frost, disease …"}),
        ("--note", {"metavar": "TEXT", "help": "in your own words"}),
    ),
)
