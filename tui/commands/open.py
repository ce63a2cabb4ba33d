"""`widger open [FARM]`, or `widger [FARM]`: the screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.farms import farm_path, farm_word
from tui.commands.shared.screens import open_screens

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    return open_screens(farm_path(farm_word(call), offer_new=True), call.on)


COMMAND = Command(
    run,
    "FARM",
    "open the screens on a farm (also: widger FARM)",
)
