"""`widger grub-out`: say that stock plants are no longer cut from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import on_name

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock_plants import grub_out

    return on_name(call, grub_out)


COMMAND = Command(
    run,
    "[FARM] ID",
    "say that stock plants are no longer cut from",
    (("--reason", {"metavar": "TEXT", "help": "why"}),),
)
