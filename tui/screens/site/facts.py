"""What set a mark, what rests on it, and the light through the year as a curve."""

from __future__ import annotations

from datetime import date

from rich.text import Text

from engine.almanac.almanac import Almanac
from engine.reading.said import percent
from engine.views.site import SiteMark
from tui.cells import day
from tui.strips.light_curve import light_curve


def facts_of(found: SiteMark | None, almanac: Almanac, year: int, today: date, width: int) -> Text:
    """The mark's date and reason, the acts that rest on it; then the light."""
    text = Text()
    if found is not None:
        mark = found.mark
        name = mark.name if mark.chance is None else f"{mark.name}, {percent(mark.chance)} chance"
        when = f": {mark.day:%A} {day(mark.day, True)}" if mark.day else " does not come"
        text.append(f"{name}{when}", style="bold")
        text.append(f"\n{mark.set_by}", style="not bold")
        acts = [f"{act.step} {act.lot} {day(act.day)}" for act in found.resting]
        if acts:
            text.append(f"\ndepends on it: {', '.join(acts)}", style="not bold")
    text.append(f"\n\n{light_curve(almanac, year, today, width)}", style="not bold")
    return text
