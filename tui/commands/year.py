"""`widger year`: fifty-two weeks across."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.year import year_view
    from tui.paper.year import year_json, year_sheet

    found = year_view(house.day(call.on))
    if call.json:
        print_json(year_json(found))
    else:
        say(year_sheet(house.farm, found))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "the year by weeks: light, frost, hours, every lot's steps",
)
