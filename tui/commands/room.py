"""`widger room`: what each place is asked to hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.room import room_view
    from tui.paper.room import room_json, room_sheet

    found = room_view(house.farm, house.plans(call.on), call.on)
    if call.json:
        print_json(room_json(found))
    else:
        say(room_sheet(house.farm, found))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "what each place is asked to hold, week by week, against its room",
)
