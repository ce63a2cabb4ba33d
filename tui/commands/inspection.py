"""`widger inspection`: a year's origins, treatments and dispatches, for the plant-health inspector."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, by_argparse, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say
from tui.typed_days import year_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:

    house = farm_of(call, watched=True)
    from engine.views.trace import inspection as make

    records = house.watched()
    found = make(records, call.year or call.on.year)
    if call.json:
        from tui.paper.inspection import inspection_json

        print_json(inspection_json(found))
    else:
        from tui.paper.inspection import inspection_sheet

        say(inspection_sheet(house.farm, found))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "a year's origins, treatments and dispatches, for the plant-health inspector",
    (("--year", {"type": by_argparse(year_of), "metavar": "Y"}),),
)
