"""`widger needs`: orders and plantings: covered, coming, or short by how many."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.reading.problems import nearest
    from engine.schedule.plan import Day, plan_all

    house = farm_of(call)
    from engine.needs.coverage import coverage, fallback, troubled
    from tui.paper.needs import needs_json, needs_sheet
    from tui.paper.without_a_lot import fallback_json, fallback_sheet

    nursery = house.nursery
    plans = plan_all(nursery, call.on)
    if call.without:
        lots = [lot.id for lot in nursery.records.lots]
        lots += [held.lot for held in nursery.records.stock.holdings]
        if call.without not in lots:
            hint = nearest(call.without, lots)
            raise Unusable(f'no lot is called "{call.without}"', hint)
        found = fallback(Day(nursery, plans, call.on), call.without)
        if call.json:
            print_json(fallback_json(call.without, found))
        else:
            say(fallback_sheet(nursery.farm, call.without, found))
        return tell(house, call.on)
    covered, lots = coverage(Day(nursery, plans, call.on)), list(troubled(plans, call.on))
    if call.csv:
        from tui.paper.order_table import orders_csv

        say(orders_csv(covered.needs, (planting.name for planting in nursery.farm.plantings)).rstrip("\n"))
    elif call.json:
        print_json(needs_json(covered, lots))
    else:
        say(needs_sheet(nursery.farm, covered, lots))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "orders and plantings: covered, coming, or short by how many",
    (
        ("--without", {"metavar": "LOT", "help": "what falls short if this lot is lost, and which ways are left"}),
        ("--csv", {"action": "store_true", "help": "the orders as a table, such as `widger need --csv` takes in"}),
    ),
)
