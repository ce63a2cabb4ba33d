"""`widger redo`: have again what was undone last, or one entry that was undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import on_entry

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.correcting import redo, redo_one

    return on_entry(call, redo, redo_one)


COMMAND = Command(
    run,
    "[FARM] [ENTRY]",
    "redo what was undone last on this device, or one entry",
)
