"""What a frosty night, a heat day, a gale or a power cut threatens, as text with boxes and as JSON."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from itertools import groupby
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.reading.units import say_degrees
from engine.views.tonight import FROST, HEAT, POWER_CUT, Exposed, Hazard
from tui.cells import dated
from tui.paper.page import WIDTH
from tui.typed_numbers import in_units

CAUTION = "A forecast low is taken at head height: on a still, clear night it is colder at the ground and in hollows."


def title_of(hazard: Hazard, units: str) -> str:
    """`Frost tonight, low -3.0 °C`."""
    degrees = "" if hazard.celsius is None else say_degrees(hazard.celsius, units)
    if hazard.kind == FROST:
        return f"Frost tonight, low {degrees}"
    if hazard.kind == HEAT:
        return f"Heat, high {degrees}"
    return "Power cut" if hazard.kind == POWER_CUT else "Gale"


def say_safe(bears_c: float, units: str) -> str:
    """`safe to -2.0 °C`: the frost or the heat that it bears."""
    return f"safe to {say_degrees(bears_c, units)}"


def tonight_sheet(farm: Farm, hazard: Hazard, lots: Sequence[Exposed], done: Collection[str], on: date) -> str:
    """The lots by what is to be done, the tenderest first, with boxes to tick; the place that is seen to is ticked."""
    told = [f"{farm.name or 'Farm'} · {dated(on)} · {title_of(hazard, farm.units)}"]
    if not lots:
        return "\n".join([*told, "", "Nothing here is at risk."])
    for (bears_c, do), group in groupby(lots, key=lambda e: (e.bears_c, e.do)):
        safe = "" if bears_c is None else f"{say_safe(bears_c, farm.units)}: "
        told += ["", *wrap(f"{safe}{do}", WIDTH)]
        for e in sorted(group, key=lambda e: (e.place.lower(), e.lot)):
            lot = "" if e.lot == e.place else f" {e.lot}"
            count = f"up to {e.count}" if e.at_most else e.count
            told.append(f"  [{'x' if e.place in done else ' '}] {e.place}: {count} {e.plant}{lot}, {e.form}")
    return "\n".join([*told, *(["", *wrap(CAUTION, WIDTH)] if hazard.kind == FROST else [])])


def tonight_json(farm: Farm, hazard: Hazard, lots: Sequence[Exposed], done: Collection[str]) -> dict[str, Any]:
    """What is coming and what each lot bears are in the farm's units; `bears` is null where no figure says it."""
    degrees = None if hazard.celsius is None else in_units(hazard.celsius, farm.units)
    key = {FROST: "low", HEAT: "high"}.get(hazard.kind, hazard.kind.replace(" ", "_"))
    return {
        key: True if degrees is None else degrees,
        "lots": [
            {
                "lot": e.lot,
                "species": e.species,
                "place": e.place,
                "count": e.count,
                "at_most": e.at_most,
                "bears": None if e.bears_c is None else in_units(e.bears_c, farm.units),
                "do": e.do,
                "stage": e.stage,
                "form": e.form,
                "seen_to": e.place in done,
            }
            for e in lots
        ],
    }
