"""`widger level`: what to put off so that no week is too full."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.level import levelled
    from engine.views.year import year_view
    from tui.paper.level import level_json, level_lines

    day = house.day(call.on)
    found = levelled(day, year_view(day))
    if call.json:
        print_json(level_json(found))
    else:
        say("\n".join(level_lines(found, len(found.puttings))))
        say(
            "Nothing needs to be put off, or nothing can be."
            if not found.puttings
            else "This records nothing: l on the year screen does."
        )
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "what to put off so that no week is too full; records nothing",
)
