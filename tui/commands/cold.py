"""The command that shows the cold store."""

from __future__ import annotations

import argparse

from tui.commands.shared import farm_of, print_json, tell


def show(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.cold import cold_view

    lots = cold_view(house.nursery, house.plans(call.on), call.on)
    if call.json:
        from tui.paper.cold import cold_json

        print_json(cold_json(lots))
    else:
        from tui.paper.cold import cold_sheet

        print(cold_sheet(house.farm, lots, call.on))
    return tell(house, call.on)
