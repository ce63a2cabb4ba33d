"""`widger redo`: have again what was undone last, or one entry that was undone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import farm_and_entry, record_one

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.acts.mending import redo, redo_one
    from tui.farmhouse import device_of

    farm, entry = farm_and_entry(call)

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        if entry:
            return redo_one(nursery, entries, entry)[0]
        return redo(nursery, entries, device_of(Path(nursery.farm.file)))[0]

    return record_one(call, farm, make, every=True)


COMMAND = Command(
    run,
    "[FARM] [ID]",
    "redo what was undone last on this device, or one entry",
)
