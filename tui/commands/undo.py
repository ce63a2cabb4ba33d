"""`widger undo`: take back the latest entry of this device, or one of any."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import on_entry

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.correcting import take_back_one
    from engine.acts.undoing import undo

    return on_entry(call, undo, take_back_one)


COMMAND = Command(
    run,
    "[FARM] [ENTRY]",
    "undo the latest entry of this device, or the one with that id",
)
