"""`widger cold`: the seed under treatment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.cold import cold_view

    lots = cold_view(house.day(call.on))
    if call.json:
        from tui.paper.cold import cold_json

        print_json(cold_json(lots))
    else:
        from tui.paper.cold import cold_sheet

        say(cold_sheet(house.farm, lots, call.on))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "the seed under treatment: day so far, next look, ready, sow by",
)
