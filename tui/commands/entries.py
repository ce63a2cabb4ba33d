"""`widger entries`: what was recorded, of one lot or of all, with the id of each entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, print_json
from tui.commands.shared.entries import farm_and_entry
from tui.commands.shared.farms import enter, farm_path, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.views.entries import entry_lines

    farm, lot = farm_and_entry(call)
    house = enter(farm_path(farm[0] if farm else None), call.on)
    lines = entry_lines(house.entries, house.records, lot, house.farm.units)
    if lot and not lines and house.records.lot(lot) is None and lot not in house.records.stock.names:
        from engine.reading.problems import nearest

        near = nearest(lot, [*(x.id for x in house.records.lots), *house.records.stock.names])
        raise Unusable(f'no lot is called "{lot}"; {near}')
    if call.json:
        from tui.paper.entry import lines_json

        print_json(lines_json(lines))
    else:
        from tui.paper.entry import entries_sheet

        say(entries_sheet(lines, lot))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "[FARM] [LOT]",
    "what was recorded, of one lot or of all, with the id of each entry",
)
