"""`widger devices`: what each recorded, what is new here, clocks that differ, and what of it does not fit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import enter, farm_path, farm_word, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.views.devices import devices_view
    from tui.farmhouse import device_of
    from tui.news_seen import read_seen
    from tui.paper.devices import devices_json, devices_sheet

    house = enter(farm_path(farm_word(call)), call.on)
    own = device_of(house.path)
    view = devices_view(house.entries, house.records, own, door.instant(), *read_seen(house.path, own))
    if call.json:
        print_json(devices_json(view))
    else:
        say(devices_sheet(view, str(house.path), call.on))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "[FARM]",
    "what each device recorded, clocks that differ, and what of it does not fit together",
)
