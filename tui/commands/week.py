"""`widger week`: this week's tasks by place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.week import week_view

    week = week_view(house.nursery, house.plans(call.on), call.on)
    if call.json:
        from tui.paper.week import week_json

        print_json(week_json(house.farm, week))
    else:
        from tui.paper.week import week_sheet

        say(week_sheet(house.farm, week))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "this week's tasks by place",
)
