"""The sheets of a planting: the walk with boxes to tick, what works here, and a label for each position."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.reading.said import percent
from engine.views.planting import PlantingView
from engine.views.works_here import Share, Works
from tui.cells import clipped, dated
from tui.paper.labels.label import PROPAGATED, Label, clean

NARROW = 72
"""Columns of what is also shown as a page on the screen."""
BOXES = "[ ] alive [ ] bears [ ] dead: ________ [ ] guard off"


def walk_sheet(farm: Farm, view: PlantingView) -> str:
    """Every position with boxes for what a walk finds; one that is dead is crossed off already."""
    told = [f"{farm.name or 'Farm'} · {view.planting.name} · walk of ____________, printed {dated(view.today)}"]
    told += ["Dead of: browsed, girdled, mown, drought, frost, disease, shaded, unknown.", ""]
    for line in view.lines:
        name = f"{clipped(line.plant.id, 6):<7}{clipped(line.name, 17):<18}"
        told.append(f"{name}{'dead already' if line.state == 'dead' else BOXES}")
    return "\n".join(told)


def works_sheet(farm: Farm, found: Sequence[Works]) -> str:
    """What lived and what bears, by species and by what sets its plants apart, each with count and range."""
    told = [f"{farm.name or 'Farm'} · what works here"]
    if not found:
        return "\n".join([*told, "", "No walk has seen a plant a year after planting: there is nothing to report yet."])
    told += ["", f"{'':<28}{'lived':<23}bears, if old enough"]
    for each in found:
        name = f"  {each.by} {each.value}" if each.by else each.name
        first = "" if each.by or each.first is None else f"  first after {_years(each.first)}"
        line = f"{clipped(name, 27):<28}{said_share(each.lived):<23}{said_share(each.bear, 'none old enough yet')}"
        told.append(line if each.by else f"\n{line}")
        if first:
            told.append(first)
    told += ["", *wrap(
        "The range would hold nine times in ten if plants died one by one. A bad year takes many: allow for more.",
        NARROW,
    )]  # fmt: skip
    return "\n".join(told)


def said_share(share: Share, none: str = "") -> str:
    """`9 of 12, 53 to 88 %`; of too few only the count."""
    if not share.of:
        return none
    if not share.enough:
        return f"{share.count} of {share.of}: too few"
    low, high = share.range
    return f"{share.count} of {share.of}, {low * 100:.0f} to {percent(high)}"


def _years(first: tuple[float, float]) -> str:
    low, high = (f"{years:.0f}" for years in first)
    return f"{low} years" if low == high else f"{low} to {high} years"


def works_json(found: Sequence[Works]) -> dict[str, Any]:
    """Shares from 0 to 1, null where there are too few to say."""
    return {
        "works": [
            {
                "species": each.species,
                "by": each.by or None,
                "value": each.value or None,
                "lived": _share(each.lived),
                "bears": _share(each.bear),
                "first_bore_after": None if each.first is None else [round(years, 1) for years in each.first],
            }
            for each in found
        ]
    }


def _share(share: Share) -> dict[str, Any]:
    low, high = share.range
    return {
        "count": share.count,
        "of": share.of,
        "share": round(share.mean, 4) if share.enough else None,
        "range": [round(low, 4), round(high, 4)] if share.enough else None,
    }


def position_labels(view: PlantingView) -> list[Label]:
    """A label for each position: its plant, the planting with its id as the code, and when it was planted."""
    found = []
    for line in view.lines:
        if line.state == "dead":
            continue
        planted = line.life.planted
        species = line.name.removesuffix(line.plant.cultivar).rstrip() if line.plant.cultivar else line.name
        found.append(
            Label(
                clean(f"{view.planting.name} {line.plant.id}"), clean(line.plant.species),
                clean(species if species != line.plant.species else ""), clean(line.plant.cultivar),
                "planted" if planted else "", "", planted, clean(line.life.lot), origin=PROPAGATED,
            )
        )  # fmt: skip
    return found
