"""`widger stock-plants`: what the plants kept to cut from gave each year, beside what was expected and asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.schedule.plan import plan_all

    house = farm_of(call, watched=True).as_of(call.on)
    from engine.views.yields import yield_histories
    from tui.paper.yields import yields_json, yields_sheet

    nursery = house.nursery
    found = yield_histories(nursery.farm, house.watched(), plan_all(nursery, call.on), call.on)
    if call.json:
        print_json(yields_json(found))
    else:
        say(yields_sheet(house.farm, found, call.on))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "what the plants kept to cut from gave each year, beside what was expected and asked",
)
