"""`widger copy`: the whole farm into another folder, read back before it is called a copy."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import GOOD, Command, Unusable, print_json
from tui.commands.shared.farms import enter, farm_path
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.journal.disk import JournalError, reason
    from tui.copying import copy_farm

    if not 1 <= len(call.words) <= 2:
        raise Unusable("usage: widger copy [FARM] FOLDER")
    house = enter(farm_path(call.words[0] if len(call.words) == 2 else None), call.on)
    folder = Path(call.words[-1])
    try:
        files = copy_farm(house, folder)
    except JournalError as fault:
        raise Unusable(f"{fault}; nothing was copied") from None
    except (OSError, ValueError) as fault:
        told = reason(fault) if isinstance(fault, OSError) else str(fault)
        raise Unusable(f"{folder} could not be written: {told}; nothing was copied") from None
    if call.json:
        print_json({"farm": str(files[0]), "files": [str(file) for file in files], "entries": len(house.entries)})
    else:
        entries = "1 entry" if len(house.entries) == 1 else f"{len(house.entries)} entries"
        say(f"copied and read back: {files[0]}, with {entries} and {len(files) - 1} files beside it")
    return GOOD


COMMAND = Command(
    run,
    "[FARM] FOLDER",
    "copy the whole farm, all that was recorded with it, and read the copy back",
)
