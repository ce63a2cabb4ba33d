"""`widger planting`: what stands in the plantings, its light as it grows, its odds; what works here; and to print."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import FILE, Command, Unusable, by_argparse, print_json
from tui.commands.shared.farms import farm_at, tell
from tui.commands.shared.printing import printing
from tui.out import say
from tui.typed_days import year_of

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence

    from engine.views.planting import PlantingView
    from tui.farmhouse import Farmhouse


def run(call: Namespace) -> int:
    house = farm_at(call, call.words[0] if call.words else None)
    from engine.acts.plantings import find_planting
    from engine.needs.planting_outlook import grown_of
    from engine.views.planting import planting_view
    from tui.paper.planting import plantings_json, plantings_sheet

    if len(call.words) > 2:
        raise Unusable(f"not known here: {' '.join(call.words[2:])}; give FARM and, in quotes, a planting's name")
    farm = house.farm
    chosen = (find_planting(farm, call.words[1]),) if len(call.words) == 2 else farm.plantings
    grown = grown_of(farm, house.records)
    views = [planting_view(house.nursery, each, call.on, grown) for each in chosen]
    if call.svg or call.pdf or call.labels:
        for line in _printed(call, house, views):
            say(line)
    elif call.works:
        _works(call, house, views)
    elif call.sheet:
        from tui.paper.planting_sheets import walk_sheet

        say("\n\n".join(walk_sheet(farm, view) for view in views))
    elif call.json:
        print_json(plantings_json(views))
    else:
        say(plantings_sheet(farm, views))
    return tell(house, call.on)


def _works(call: Namespace, house: Farmhouse, views: Sequence[PlantingView]) -> None:
    from engine.views.works_here import works_here
    from tui.paper.planting_sheets import works_json, works_sheet

    found = works_here(house.farm, views, call.on)
    if call.json:
        print_json(works_json(found))
    else:
        say(works_sheet(house.farm, found))


def _printed(call: Namespace, house: Farmhouse, views: Sequence[PlantingView]) -> list[str]:
    """Write what was asked for, and say what was written. Raises Unusable; then nothing is written."""
    from pathlib import Path

    from engine.views.light import OLDEST
    from tui.paper.files import SVG, put
    from tui.paper.pdf import write_labels, written
    from tui.paper.planting_plan import plan_of, plan_pdf, svg_of
    from tui.paper.planting_sheets import position_labels, walk_sheet

    farm, told = house.farm, []
    ages = [view.age if call.year is None else call.year - view.light.year for view in views]
    plans = [
        plan
        for view, age in zip(views, ages, strict=True)
        if (plan := plan_of(view, min(OLDEST, max(0, age)), farm.units))
    ]
    labels = [label for view in views for label in position_labels(view)]
    if call.svg and len(plans) != 1:
        raise Unusable("an SVG is of one planting with spots (at_m): name it, in quotes, after FARM")
    with printing():
        if call.svg:
            put(Path(call.svg), svg_of(plans[0]).encode(), SVG)
            told.append(f"{call.svg}: {plans[0].title}")
        if call.pdf:
            sheets = [walk_sheet(farm, view) for view in views]
            told.append(written(call.pdf, plan_pdf(plans, sheets, f"Plantings: {farm.name or 'Farm'}")))
        if call.labels:
            if not labels:
                raise Unusable(f"no position to label; {call.labels} is not written")
            told.append(write_labels(call.labels, labels, f"Positions: {farm.name or 'Farm'}"))
    return told


COMMAND = Command(
    run,
    "FARM [NAME]",
    "what stands in the plantings: its state, its light as it grows, its odds; what works here",
    (
        ("--works", {"action": "store_true", "help": "what lived and bore here, by form, guard, light and neighbour"}),
        ("--sheet", {"action": "store_true", "help": "a sheet with boxes to tick on the walk"}),
        ("--svg", {**FILE, "help": "one planting drawn to scale"}),
        ("--pdf", {**FILE, "help": "the plantings drawn to scale, and the sheets of the walk, to print"}),
        ("--labels", {**FILE, "help": "a label for each position, to print"}),
        ("--year", {"type": by_argparse(year_of), "metavar": "Y", "help": "crowns as they are in that year"}),
    ),
)
