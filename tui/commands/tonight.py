"""`widger tonight`: what a frosty night threatens, and what to do before dusk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.views.tonight import tonight
    from tui.fields import degrees_of
    from tui.paper.tonight import tonight_json, tonight_sheet

    house = farm_of(call)
    low = degrees_of(call.low)
    celsius = (low - 32) / 1.8 if house.farm.units == "us" else low
    lots = tonight(house.nursery, celsius, call.on)
    if call.json:
        print_json(tonight_json(house.farm, celsius, lots))
    else:
        say(tonight_sheet(house.farm, celsius, lots, call.on))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "what a frosty night threatens out in the open, the tenderest first",
    (("--low", {"required": True, "metavar": "T", "help": "the low that is forecast, in the farm's degrees"}),),
)
