"""The curve of the light: day length through a year in two rows of bars, the months beneath."""

from __future__ import annotations

from datetime import date, timedelta

from engine.almanac.almanac import Almanac, say_minutes
from tui.strips.bars import MONTHS, NOW, bars

CURVE = 73
"""Cells of the curve at the most, of five days each."""


def light_curve(almanac: Almanac, year: int, today: date, width: int = CURVE) -> str:
    """Day length through a year in two rows of bars, as wide as there is room, today and the months beneath."""
    cells = max(12, min(CURVE, width))
    days = [date(year, 1, 1) + timedelta(365 * (2 * n + 1) // (2 * cells)) for n in range(cells)]
    light = [almanac.day_minutes(when) for when in days]
    upper, lower = bars(light, min(light) - 30, max(light))
    months = [
        MONTHS[when.month - 1] if n == 0 or when.month != days[n - 1].month else " " for n, when in enumerate(days)
    ]
    here = (today - date(year, 1, 1)).days * cells // 366 if today.year == year else -1
    marked = "".join(NOW if n == here else " " for n in range(cells)).rstrip()
    span = f"day length from {say_minutes(min(light))} to {say_minutes(max(light))}"
    rows = [upper, lower, "".join(months), *([marked] if marked else []), span]
    return "\n".join(rows) + (f"; {NOW} today" if marked else "")
