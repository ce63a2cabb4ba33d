"""`widger review`: a year's plan against what happened, and what to change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say
from tui.typed_days import year_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.needs.review import review as look_back

    year = year_of(call.year) if call.year else call.on.year
    nursery = house.nursery
    kinds = look_back(house.day(call.on), year)
    if call.json:
        from tui.paper.review import review_json

        print_json(review_json(year, kinds))
    else:
        from tui.paper.review import review_sheet

        say(review_sheet(nursery.farm, year, kinds))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "a year's plan against what happened, and what to change",
    (("--year", {"metavar": "Y", "help": "the calendar year (default: that of --on)"}),),
)
