"""`widger dispatch`: what goes to whom, picked from which lots, and when it may travel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.needs.allotment import allot
    from engine.needs.dispatch import parcels
    from tui.paper.dispatch import dispatch_json, dispatch_sheet

    house = farm_of(call)
    found = parcels(house.nursery, allot(house.nursery, house.plans(call.on), call.on), call.on)
    if call.json:
        print_json(dispatch_json(found))
    else:
        say(dispatch_sheet(house.farm, found, call.on))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "orders to send: what to pick where, what goes into each parcel, when it may travel",
)
