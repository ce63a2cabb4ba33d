"""Record a mark of the season that was seen: choose it, and say when."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.acts import season
from engine.almanac.almanac import say_day
from engine.almanac.phrases import COMPUTED_MARKS, MarkBase, Phrase
from tui.fields import day_of
from tui.forms.form import ChoiceScreen, Field, FormScreen, Values
from tui.writing import write

if TYPE_CHECKING:
    from tui.screen import FarmScreen


def ask_saw(screen: FarmScreen) -> None:
    """Ask for the mark, the nearest to today first, then for the day."""
    app = screen.app
    almanac, today = app.house.nursery.almanac, app.today
    found = []
    for name in almanac.mark_names():
        if name in COMPUTED_MARKS or name.endswith(" ends"):
            continue
        phrase = Phrase(MarkBase(name), 0, name)
        season = almanac.nearest(phrase, today.toordinal())
        day = None if season is None else almanac.occurrence(phrase, season)
        if season is not None and day is not None:
            reason = almanac.reason(name, season)
            found.append((abs(day - today.toordinal()), name, f"{name:<20} {say_day(day):>6}  {reason}"))
    found.sort()

    def chosen(mark: str | None) -> None:
        if mark is not None:
            ask_day(screen, mark)

    app.push_screen(ChoiceScreen("What was seen?", [(name, label) for _, name, label in found]), chosen)


def ask_day(screen: FarmScreen, mark: str) -> None:
    """Ask on which day a mark was seen."""
    today = screen.app.today

    def save(values: Values) -> None:
        on = day_of(values["on"], today)
        write(screen, lambda n, e: season.saw(n.farm, n.almanac, mark, on, today))

    fields = [Field("on", "on which day (a date, or yesterday)", today.isoformat())]
    told = "it replaces the computed date for this season"
    screen.app.push_screen(FormScreen(f"Seen: {mark}", fields, save, told))
