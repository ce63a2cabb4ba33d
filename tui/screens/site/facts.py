"""What set a mark, what rests on it, and the light through the year as a curve."""

from __future__ import annotations

from datetime import date, timedelta

from rich.text import Text

from engine.almanac.almanac import Almanac, say_minutes
from engine.views.site import SiteMark
from tui.bars import MONTHS, NOW, bars
from tui.paper.sheets import day

CURVE = 73
"""Cells of the curve, of five days each."""


def facts_of(found: SiteMark | None, almanac: Almanac, year: int, today: date) -> Text:
    """The mark's date and reason, the acts that rest on it; then the light."""
    text = Text()
    if found is not None:
        mark = found.mark
        name = mark.name if mark.chance is None else f"{mark.name}, with a chance of {mark.chance:.0%}"
        when = f": {mark.day:%A} {day(mark.day, True)}" if mark.day else " does not come"
        text.append(f"{name}{when}", style="bold")
        text.append(f"\n{mark.set_by}", style="not bold")
        acts = [f"{act.step} {act.lot} {day(act.day)}" for act in found.resting]
        if acts:
            text.append(f"\nrests on it: {', '.join(acts)}", style="not bold")
    text.append(f"\n\n{curve(almanac, year, today)}", style="not bold")
    return text


def curve(almanac: Almanac, year: int, today: date) -> str:
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
