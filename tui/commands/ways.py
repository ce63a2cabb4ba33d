"""`widger ways`: every way to have so many of a plant by a day, side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.reading.limits import MOST_ASKED
from tui.commands.shared.call import Command, Unusable, print_json
from tui.commands.shared.entries import split_words
from tui.commands.shared.farms import enter, farm_path, tell
from tui.commands.shared.species import BY, CULTIVAR, FORM, SURE, asked_day, knowing
from tui.out import say
from tui.typed_numbers import sureness_of, whole_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.schedule.plan import day_of

    farm, (name, count) = split_words(call)
    house = enter(farm_path(farm[0] if farm else None))
    from engine.farm.stock import Need
    from engine.needs.ways import lean_splits, losses_of, splits
    from engine.needs.ways import ways as every_way
    from tui.paper.ways import ways_json, ways_sheet

    nursery, species = knowing(house.nursery, name)
    by, sure, want = asked_day(call), sureness_of(call.sure), whole_of(count, "COUNT")
    if not 1 <= want <= MOST_ASKED:
        raise Unusable(f"COUNT: from 1 to {MOST_ASKED:,} can be asked for, not {count}")
    form = call.form or ""
    need = Need("", species.latin, call.cultivar or "", form, want, by, sure)
    found = every_way(day_of(nursery, call.on), need)
    losses = losses_of(nursery.farm)
    pairs = splits(want, found, losses)
    pairs = (*lean_splits(want, pairs, losses, sure)[:3], *pairs[:3])
    if call.json:
        print_json(ways_json(species, want, by, sure, found, pairs))
    else:
        title = f"{want} {species.name} {call.cultivar or ''}".rstrip() + (f", {form}" if form else "")
        title += f" ({species.latin})" if species.name != species.latin else ""
        say(ways_sheet(title, by, sure, found, pairs))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "[FARM] SPECIES COUNT",
    "every way to have so many of a plant by a day, side by side",
    (BY, FORM, CULTIVAR, SURE),
)
