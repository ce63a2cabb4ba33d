"""`widger promise`: how many of a plant can still be promised by a day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, print_json
from tui.commands.shared.entries import split_words
from tui.commands.shared.farms import enter, farm_path, tell
from tui.commands.shared.species import BY, CULTIVAR, FORM, GRADE, SURE, asked_day, knowing
from tui.out import say
from tui.typed_numbers import sureness_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.schedule.plan import day_of

    farm, (name,) = split_words(call)
    house = enter(farm_path(farm[0] if farm else None))
    from engine.farm.stock import Need
    from engine.needs.promising import offer
    from tui.paper.promise import offer_json, offer_sheet

    nursery, species = knowing(house.nursery, name)
    by, sure = asked_day(call), sureness_of(call.sure)
    if by is None:
        raise Unusable("say by when: --by 2028-03-01")
    asked = Need("", species.latin, call.cultivar or "", call.form or "", 1, by, sure, grade=call.grade or "")
    found = offer(day_of(nursery, call.on), asked)
    if call.json:
        print_json(offer_json(found))
    else:
        say(offer_sheet(nursery.farm, found))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "[FARM] SPECIES",
    "how many of a plant can still be promised by a day",
    (BY, FORM, GRADE, CULTIVAR, SURE),
)
