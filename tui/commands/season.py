"""`widger season`: all needs in one plan, within hours, room and what stock plants yield; records nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import pass_by, say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.needs.season_plan import season
    from tui.paper.season import season_json, season_sheet

    house = farm_of(call)

    def told(done: int, of: int) -> None:
        pass_by(f"{done} of {of} needs")

    found = season(house.day(call.on), call.least, told)
    pass_by()
    if call.json:
        print_json(season_json(found))
    else:
        say(season_sheet(house.farm, found, call.on))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "all needs in one plan, within hours, room and stock plants; records nothing",
    (("--least", {"choices": ("hours", "cost"), "default": "hours", "help": "what to keep lowest (default: hours)"}),),
)
