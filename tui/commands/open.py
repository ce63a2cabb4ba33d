"""`widger open [FARM]`, or `widger [FARM]`: the screens."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from tui.commands.shared.call import GOOD, Command
from tui.commands.shared.farms import farm_path, farm_word, no_farm
from tui.commands.shared.screens import open_screens

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    word = farm_word(call)
    if sys.stdin.isatty() and sys.stdout.isatty() and (path := no_farm(word)) is not None:
        from tui.first_run import FirstRun

        if FirstRun(path, call.on, named=word is not None).run() is None:
            return GOOD
        return open_screens(path, call.on)
    return open_screens(farm_path(word, offer_new=True), call.on)


COMMAND = Command(
    run,
    "FARM",
    "open the screens on a farm (also: widger FARM)",
)
