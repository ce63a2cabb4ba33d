"""`widger outage`: record that a place was too warm, or froze, up to --on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words
from tui.commands.shared.farms import enter, farm_path
from tui.typed_numbers import degrees_of, whole_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts import place_work

    farm, (place, days, degrees) = split_words(call)
    path = farm_path(farm[0] if farm else None)
    lasted, heat = whole_of(days, "days"), degrees_of(degrees, enter(path).farm.units)

    def seed_there() -> Iterable[str]:
        from engine.views.cold import told_of_outage

        house = enter(path)
        latest = next(o for o in reversed(house.records.outages) if (o.days, o.last) == (lasted, call.on))
        return told_of_outage(house.day(call.on), latest) or ("no seed was there",)

    return record_one(
        call,
        farm,
        lambda nursery, _: place_work.outage(nursery.farm, place, lasted, heat, call.on, call.on),
        seed_there,
    )


COMMAND = Command(
    run,
    "[FARM] PLACE DAYS DEGREES",
    "record that a place was too warm, or froze, up to --on",
)
