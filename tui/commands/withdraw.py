"""`widger withdraw`: withdraw a need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.needs import withdraw_need

    farm, (name,) = split_words(call)
    return record_one(call, farm, lambda nursery, _: withdraw_need(nursery, name, call.reason or "", call.on))


COMMAND = Command(
    run,
    "[FARM] ID",
    "withdraw a need",
    (("--reason", {"metavar": "TEXT", "help": "why"}),),
)
