"""The marks of a year, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from textwrap import wrap
from typing import Any

from engine.almanac.almanac import Almanac, say_minutes
from engine.farm.model import Farm
from engine.reading.said import percent
from engine.views.plan import MarkLine
from tui.cells import (
    day,
    iso,
)
from tui.paper.page import WIDTH


def dates_sheet(farm: Farm, almanac: Almanac, year: int, marks: Iterable[MarkLine]) -> str:
    """The marks of a year, and the day length by the half month."""
    lines = [f"{farm.name or 'Farm'} · marks of {year}", ""]
    for mark in marks:
        name = mark.name if mark.chance is None else f"{mark.name} ({percent(mark.chance)})"
        unknown = "no other chance is known" in mark.set_by
        when = f"{mark.day:%a} {day(mark.day)}" if mark.day else "not known" if unknown else "never"
        first, *rest = wrap(mark.set_by, WIDTH - 43) or [""]
        lines.append(f"  {name:<27} {when:>10}  {first}".rstrip())
        lines += [" " * 41 + more for more in rest]
    lines += ["", "Day length"]
    for month in range(1, 13, 2):
        cells = [
            f"{day(d):>6} {say_minutes(almanac.day_minutes(d)):>7}"
            for m in (month, month + 1)
            for d in (date(year, m, 1), date(year, m, 15))
        ]
        lines.append("  " + "   ".join(cells))
    if better := almanac.better_with_temperatures():
        told = f"Twelve monthly temperatures ([site.temperature]) would date these better: {', '.join(better)}."
        lines += ["", *wrap(told, WIDTH)]
    return "\n".join(lines)


def dates_json(year: int, marks: Iterable[MarkLine], lengths: Iterable[tuple[date, float]]) -> dict[str, Any]:
    return {
        "year": year,
        "marks": [
            {
                "name": m.name,
                "chance": None if m.chance is None else f"{m.chance:.0%}",
                "date": iso(m.day),
                "from": m.set_by,
            }
            for m in marks
        ],
        "day_length": [{"date": day.isoformat(), "minutes": round(minutes, 2)} for day, minutes in lengths],
    }
