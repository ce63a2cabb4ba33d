"""`widger take-over`: record that an understudy takes the place of its dead first choice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts import plantings

    farm, (planting, position) = split_words(call)
    return record_one(call, farm, lambda nursery, _: plantings.take_over(nursery, planting, position, call.on, call.on))


COMMAND = Command(
    run,
    "[FARM] PLANTING POSITION",
    "record that an understudy takes the place of its dead first choice",
)
