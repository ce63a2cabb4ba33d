"""The year's list for the plant-health inspector, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.views.trace import Inspection, InspectionLine
from tui.cells import (
    day,
    iso,
)
from tui.paper.page import WIDTH

RECORDED_ONLY = (
    "This lists only what was recorded; hormones, acids and sprays only where a note mentions them. "
    "Your plant-health authority says what an inspection list must hold."
)


def inspection_sheet(farm: Farm, found: Inspection) -> str:
    """The list of a year for the plant-health inspector."""
    told = [f"{farm.name or 'Farm'} · inspection list of {found.year}: origins, treatments and dispatches"]
    for title, lines in (
        ("ORIGINS", found.origins),
        ("TREATMENTS AND NOTES", found.treatments),
        ("DISPATCHES", found.dispatches),
    ):
        told += ["", title, *(part for line in lines for part in _inspection_line(line))]
        if not lines:
            told.append("  none recorded")
    told += ["", *wrap(RECORDED_ONLY, WIDTH)]
    return "\n".join(told)


def _inspection_line(line: InspectionLine) -> list[str]:
    count = "" if line.count is None else str(line.count)
    plant = f"{line.species} {line.cultivar}".rstrip()
    head = f"  {day(line.on, True):>9}  {line.lot:<10} {count:>6}  "
    return wrap(f"{head}{plant}: {line.told}", WIDTH, subsequent_indent=" " * len(head), drop_whitespace=True)


def inspection_json(found: Inspection) -> dict[str, Any]:
    def each(lines: Sequence[InspectionLine]) -> list[dict[str, Any]]:
        return [
            {
                "on": iso(line.on),
                "lot": line.lot,
                "species": line.species,
                "cultivar": line.cultivar,
                "count": line.count,
                "what": line.told,
            }
            for line in lines
        ]

    return {
        "year": found.year,
        "origins": each(found.origins),
        "treatments": each(found.treatments),
        "dispatches": each(found.dispatches),
    }
