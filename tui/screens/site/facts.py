"""What set a mark, what rests on it, and the light through the year as a curve."""

from __future__ import annotations

from datetime import date

from rich.text import Text

from engine.almanac.almanac import Almanac
from engine.reading.said import percent
from engine.views.site import SiteMark
from tui.cells import day
from tui.facts import GUTTER, in_parts
from tui.strips.light_curve import light_curve


def facts_of(found: SiteMark | None, almanac: Almanac, year: int, today: date, width: int) -> Text:
    """The mark's date and reason, the acts that rest on it; then the light."""
    light = {"light": light_curve(almanac, year, today, width - GUTTER).split("\n")}
    if found is None:
        return in_parts(f"The light of {year}", light)
    mark = found.mark
    name = mark.name if mark.chance is None else f"{mark.name}, {percent(mark.chance)} chance"
    when = f": {mark.day:%A} {day(mark.day, True)}" if mark.day else " does not come"
    acts = [f"{act.step} {act.lot} {day(act.day)}" for act in found.resting]
    depends = [f"depends on it: {', '.join(acts)}"] if acts else []
    set_by = "by the frost dates of the farm file" if mark.set_by.endswith("% chance") else mark.set_by
    return in_parts(f"{name}{when}", {"when": [set_by], "next": depends} | light)
