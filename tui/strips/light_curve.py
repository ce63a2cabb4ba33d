"""The curve of the light: day length through a year in two rows of bars, the months beneath."""

from __future__ import annotations

from datetime import date, timedelta

from engine.almanac.almanac import Almanac, say_minutes
from tui.strips.bars import MONTHS, NOW, bars

CURVE = 73
"""Cells of the curve, of five days each."""


def light_curve(almanac: Almanac, year: int, today: date) -> str:
    """Day length through a year in two rows of bars, the months beneath."""
    days = [date(year, 1, 3) + timedelta(5 * n) for n in range(CURVE)]
    light = [almanac.day_minutes(when) for when in days]
    upper, lower = bars(light, min(light) - 30, max(light))
    months = [
        MONTHS[when.month - 1] if n == 0 or when.month != days[n - 1].month else " " for n, when in enumerate(days)
    ]
    if today.year == year:
        months[min(CURVE - 1, (today - date(year, 1, 1)).days // 5)] = NOW
    span = f"the day from {say_minutes(min(light))} to {say_minutes(max(light))} long"
    return "\n".join((upper, lower, "".join(months), f"{span}; {NOW} today"))
