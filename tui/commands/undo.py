"""`widger undo`: undo the latest entry of this device."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.undoing import undo as undo_latest

    return record_one(call, call.words, lambda nursery, entries: undo_latest(nursery, entries, door.device())[0])


COMMAND = Command(
    run,
    "FARM",
    "undo the latest entry of this device",
)
