"""`widger dates`: the marks of a year."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, by_argparse, print_json
from tui.commands.shared.farms import enter, farm_path, farm_word, tell
from tui.out import say
from tui.typed_days import year_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = enter(farm_path(farm_word(call)), call.on)
    from engine.views.plan import year_day_lengths, year_marks

    year = call.year or call.on.year
    almanac = house.nursery.almanac
    marks = year_marks(almanac, year)
    if call.json:
        from tui.paper.dates import dates_json

        print_json(dates_json(year, marks, year_day_lengths(almanac, year)))
    else:
        from tui.paper.dates import dates_sheet

        say(dates_sheet(house.farm, almanac, year, marks))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "the marks of a year: frost, light, and what depends on them",
    (("--year", {"type": by_argparse(year_of), "metavar": "Y"}),),
)
