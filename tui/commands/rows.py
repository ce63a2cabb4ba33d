"""`widger rows`: the map of the beds: each row from its fixed end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.beds import bed_rows, disagreements

    nursery = house.nursery
    found = bed_rows(nursery)
    if call.json:
        from tui.paper.rows import rows_json

        print_json(rows_json(found))
    else:
        from tui.paper.rows import rows_sheet

        say(rows_sheet(found, disagreements(nursery), house.farm.units))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "the map of the beds: each row from its fixed end",
)
