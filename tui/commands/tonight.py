"""`widger tonight`: what a frosty night, a heat day, a gale or a power cut threatens, and what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.views.tonight import Hazard
    from tui.farmhouse import Farmhouse


def run(call: Namespace) -> int:
    from engine.views.tonight import seen_to, threatened
    from tui.paper.tonight import tonight_json, tonight_sheet

    house = farm_of(call)
    hazard = _hazard(call, house)
    lots = threatened(house.nursery, hazard, call.on)
    if call.done:
        return _done(call, house, hazard, {each.place for each in lots})
    done = seen_to(house.nursery, hazard.kind, call.on)
    if call.json:
        print_json(tonight_json(house.farm, hazard, lots, done))
    else:
        say(tonight_sheet(house.farm, hazard, lots, done, call.on))
    return tell(house, call.on)


def _hazard(call: Namespace, house: Farmhouse) -> Hazard:
    """What is coming, of what was given; else the low of the thermometer's latest day."""
    from engine.views.tonight import FROST, HEAT, POWER_CUT, WIND, Hazard
    from tui.thermometer import last_reading
    from tui.typed_words import celsius_of

    given = [name for name in ("low", "high", "wind", "power_cut") if getattr(call, name)]
    if len(given) > 1:
        raise Unusable("one at a time: --low, --high, --wind or --power-cut")
    if call.wind or call.power_cut:
        return Hazard(WIND if call.wind else POWER_CUT)
    if given:
        kind, text = (FROST, call.low) if call.low else (HEAT, call.high)
        return Hazard(kind, celsius_of(text, house.farm.units))
    last = last_reading(house.path, house.farm, call.on)
    if last is None:
        raise Unusable("give a forecast, such as --low -3 (or --high T, --wind, --power-cut)")
    return Hazard(FROST, last.low_c)


def _done(call: Namespace, house: Farmhouse, hazard: Hazard, places: set[str]) -> int:
    from engine.acts.place_work import made_ready
    from tui.commands.shared.entries import record_one

    return record_one(
        call, [str(house.path)], lambda *_: made_ready(hazard.kind, call.done, places, call.on, call.on)
    )  # fmt: skip


COMMAND = Command(
    run,
    "FARM",
    "what a frosty night, a heat day, a gale or a power cut threatens, the tenderest first",
    (
        ("--low", {"metavar": "T", "help": "the low that is forecast, in the farm's degrees; else the thermometer's"}),
        ("--high", {"metavar": "T", "help": "the high that is forecast, in the farm's degrees"}),
        ("--wind", {"action": "store_true", "help": "a gale is forecast"}),
        ("--power-cut", {"action": "store_true", "help": "the power is off"}),
        ("--done", {"metavar": "PLACE", "help": "record that this place is seen to"}),
    ),
)
