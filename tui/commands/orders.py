"""`widger orders`: what must be bought for the batches, by when, and what has come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.schedule.plan import plan_all

    house = farm_of(call)
    from engine.needs.orders import order_lines

    nursery = house.nursery
    lines = order_lines(nursery, plan_all(nursery, call.on))
    if call.json:
        from tui.paper.orders import orders_json

        print_json(orders_json(lines))
    else:
        from tui.paper.orders import orders_sheet

        say(orders_sheet(nursery.farm, lines, call.on))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "what must be bought for the batches, by when, and what has come",
)
