"""`widger planting`: what stands in the plantings, its light as it grows, and its odds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_at, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_at(call, call.words[0] if call.words else None)
    from engine.acts.plantings import find_planting
    from engine.needs.plantings import grown_of
    from engine.views.planting import planting_view
    from tui.commands.shared.call import Unusable
    from tui.paper.planting import plantings_json, plantings_sheet

    if len(call.words) > 2:
        raise Unusable(f"not known here: {' '.join(call.words[2:])}; give FARM and, in quotes, a planting's name")
    farm = house.farm
    chosen = (find_planting(farm, call.words[1]),) if len(call.words) == 2 else farm.plantings
    grown = grown_of(farm, house.records)
    views = [planting_view(house.nursery, each, call.on, grown) for each in chosen]
    if call.json:
        print_json(plantings_json(views))
    else:
        say(plantings_sheet(farm, views))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM [NAME]",
    "what stands in the plantings: its state, its light as it grows, its odds",
)
