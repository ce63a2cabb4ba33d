"""The map of the beds, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Any

from engine.reading.units import US, feet, say_length
from engine.views.beds import Row
from tui.cells import clipped
from tui.paper.page import WIDTH


def rows_sheet(rows: Sequence[Row], told: Iterable[str], units: str = "metric") -> str:
    """The map of the beds in the farm's units, each row from its fixed end."""
    size, unit = (feet, "ft") if units == US else (float, "m")
    if not rows:
        return "No row is mapped.\nwidger row PLACE ROW LOT:LENGTH:COUNT … maps one, from its fixed end."
    lines: list[str] = []
    for row in rows:
        long = say_length(row.metres, units) if row.stretches else "empty"
        lines += ["", f"{row.place.upper()}, row {row.name}, {long}"]
        for s in row.stretches:
            doubt = " (name not certain)" if s.doubtful else ""
            plant = f"{s.lot}  {s.plant}{doubt}"
            room = WIDTH - 31
            plant = clipped(plant, room)
            lines.append(f"  {size(s.start_m):>7.1f} to {size(s.end_m):>7.1f} {unit:<2} {plant:<{room}} {s.count:>6}")
    if disagree := list(told):
        lines += ["", *(part for line in disagree for part in wrap(f"! {line}", WIDTH, subsequent_indent="  "))]
    return "\n".join(lines[1:])


def rows_json(rows: Sequence[Row]) -> dict[str, Any]:
    return {
        "rows": [
            {
                "place": row.place,
                "row": row.name,
                "lots": [
                    {"lot": s.lot, "plant": s.plant, "from_m": s.start_m, "to_m": s.end_m, "count": s.count}
                    for s in row.stretches
                ],
            }
            for row in rows
        ]
    }
