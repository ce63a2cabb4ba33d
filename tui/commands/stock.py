"""`widger stock`: what is on hand, promised, free and coming."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.schedule.plan import day_of

    house = farm_of(call)
    from engine.views.stock import stock_view

    nursery = house.nursery
    view = stock_view(day_of(nursery, call.on), call.by)
    if call.json:
        from tui.paper.stock import stock_json

        print_json(stock_json(view))
    elif call.csv:
        from tui.paper.stock_table import stock_csv

        say(stock_csv(view, nursery.records.stock).removesuffix("\n"))
    else:
        from tui.paper.stock import stock_sheet

        say(stock_sheet(house.farm, view, call.by))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "what is on hand, promised, free and coming",
    (
        ("--by", {"choices": ("species", "form", "place"), "default": "species"}),
        ("--csv", {"action": "store_true", "help": "a table for a spreadsheet, which receive --csv reads"}),
    ),
)
