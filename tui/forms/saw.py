"""Record a mark of the season that was seen: choose it, and say when."""

from __future__ import annotations

from engine.acts import marks_seen
from tui.cells import day
from tui.forms.choice import ChoiceScreen
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import day_of
from tui.writing import Recorder, write


def ask_saw(screen: Recorder) -> None:
    """Ask for the mark, the nearest to today first and the rest as they follow, then for the day."""
    app = screen.app
    found = marks_seen.marks_to_see(app.house.nursery.almanac, app.today)
    labels = [(each.mark, f"{each.mark:<20} {day(each.day):>6}  {each.reason}") for each in found]

    def chosen(mark: str | None) -> None:
        if mark is not None:
            ask_day(screen, mark)

    app.push_screen(ChoiceScreen("What was seen?", labels), chosen)


def ask_day(screen: Recorder, mark: str) -> None:
    """Ask on which day a mark was seen."""
    today = screen.app.today

    def save(values: Values) -> None:
        on = day_of(values["on"], today)
        write(screen, lambda n, _: marks_seen.saw(n.farm, n.almanac, mark, on, today))

    fields = [Field("on", "date (or yesterday)", today.isoformat(), day=True)]
    told = "it replaces the computed date for this season"
    screen.app.push_screen(FormScreen(f"Seen: {mark}", fields, save, told))
