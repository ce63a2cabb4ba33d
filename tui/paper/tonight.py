"""A frosty night ahead: what to see to before dusk, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import groupby
from textwrap import wrap
from typing import Any

from engine.almanac.thermometer import say_degrees
from engine.farm.model import Farm
from engine.views.tonight import Exposed
from tui.cells import day
from tui.paper.page import WIDTH

CAUTION = "A forecast low is taken at head height: on a still, clear night it is colder at the ground and in hollows."


def in_units(celsius: float, units: str) -> float:
    """Degrees in the farm's units, to a tenth."""
    return round(celsius * 1.8 + 32 if units == "us" else celsius, 1)


def tonight_sheet(farm: Farm, low_c: float, lots: Sequence[Exposed], on: date) -> str:
    """The lots by what is to be done, the tenderest first, with boxes to tick."""
    told = [f"{farm.name or 'Farm'} · night of {day(on, True)}, low {say_degrees(low_c, farm.units)}"]
    if not lots:
        return "\n".join([*told, "", "Nothing that stands out in the open is known to bear less."])
    for do, group in groupby(sorted(lots, key=lambda e: (-e.bears_c, e.do, e.place)), key=lambda e: (e.bears_c, e.do)):
        told += ["", *wrap(f"bears {say_degrees(do[0], farm.units)}: {do[1]}", WIDTH)]
        told += [f"  [ ] {e.place}: {e.count} {e.plant} {e.lot}, {e.form}" for e in group]
    return "\n".join([*told, "", *wrap(CAUTION, WIDTH)])


def tonight_json(farm: Farm, low_c: float, lots: Sequence[Exposed]) -> dict[str, Any]:
    """The low and what each lot bears are in the farm's units."""
    return {
        "low": in_units(low_c, farm.units),
        "lots": [
            {
                "lot": e.lot,
                "species": e.species,
                "place": e.place,
                "count": e.count,
                "bears": in_units(e.bears_c, farm.units),
                "do": e.do,
                "stage": e.stage,
            }
            for e in lots
        ],
    }
