"""The year as text for the wall, and as JSON."""

from __future__ import annotations

from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.views.year import Year
from tui.cells import (
    dated,
)
from tui.paper.page import WIDTH
from tui.strips.year_weeks import LEGEND, lot_line, over_full, scale


def year_sheet(farm: Farm, year: Year) -> str:
    """The scale and a line for each lot, within 80 columns."""
    first, last = year.weeks[0].start, year.weeks[-1].end
    lines = [f"{farm.name or 'Farm'} · {dated(first)} to {dated(last)}", *scale(year, WIDTH), ""]
    lines += [lot_line(year, line, WIDTH) for line in year.lines] or [" No lot does anything in these weeks."]
    lines += ["", *wrap(over_full(year), WIDTH), *LEGEND.splitlines()]
    return "\n".join(line.rstrip() for line in lines)


def year_json(year: Year) -> dict[str, Any]:
    """Dates are ISO 8601, light is in minutes from sunrise to sunset, the chance of frost runs from 0 to 1."""
    return {
        "weeks": [
            {
                "start": week.start.isoformat(),
                "day_length_minutes": round(week.minutes, 1),
                "frost_chance": None if week.frost is None else round(week.frost, 4),
                "hours": round(week.hours, 2),
                "hours_available": week.hours_available,
            }
            for week in year.weeks
        ],
        "lots": [
            {
                "lot": each.line.lot.id,
                "species": each.line.lot.batch.species,
                "state": each.line.state,
                "acts": [
                    {
                        "step": act.step,
                        "day": act.day.isoformat(),
                        "done": act.done,
                        "earliest": act.earliest.isoformat(),
                        "latest": act.latest.isoformat(),
                    }
                    for act in each.acts
                ],
            }
            for each in year.lines
        ],
    }
