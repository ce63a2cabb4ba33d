"""`widger withdraw`: withdraw a need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import on_name

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.needs import withdraw_need

    return on_name(call, withdraw_need)


COMMAND = Command(
    run,
    "[FARM] ID",
    "withdraw a need",
    (("--reason", {"metavar": "TEXT", "help": "why"}),),
)
