"""What the keys of a threatened night record, and what is asked before it is shown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from engine.acts.place_work import against, made_ready
from engine.acts.undoing import take_back
from engine.views.tonight import HEAT, Hazard
from tui.cells import day
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.thermometer import last_reading
from tui.typed_numbers import in_units
from tui.typed_words import HAZARDS_WRITTEN, hazard_of
from tui.writing import Recorder, attempt

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery
    from tui.farm_app import FarmApp


def ask_hazard(app: FarmApp, then: Callable[[Hazard], None], before: Hazard | None = None) -> None:
    """Ask what is coming: the night's low, as the thermometer had it last where nothing was told before."""
    farm = app.house.farm
    value, told = "", "the low that is forecast for tonight"
    if before is not None and before.celsius is not None:
        value = f"{'heat ' if before.kind == HEAT else ''}{in_units(before.celsius, farm.units):g}"
    elif before is not None:
        value = before.kind
    elif (last := last_reading(app.house.path, farm, app.today)) is not None:
        value = f"{in_units(last.low_c, farm.units):g}"
        told = f"your thermometer had {value} on {day(last.day)}; what is forecast for tonight?"

    def save(values: Values) -> None:
        hazard = hazard_of(values["coming"], farm.units)
        app.call_later(then, hazard)

    app.push_screen(FormScreen("Tonight", [Field("coming", HAZARDS_WRITTEN, value)], save, told))


def done(screen: Recorder, hazard: Hazard, place: str, places: Iterable[str], seen: bool) -> None:
    """The place is seen to; where it was already, that is taken back."""
    today = screen.app.today
    if not seen:
        known = tuple(places)
        attempt(screen, lambda *_: made_ready(hazard.kind, place, known, today, today))
        return
    meant = [
        entry for entry in screen.app.house.entries
        if entry.kind == "worked" and entry.on == today
        and entry.data.get("do") == against(hazard.kind) and entry.data.get("place") == place
    ]  # fmt: skip

    def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
        return take_back(nursery, entries, meant)

    if attempt(screen, make, every=True):
        screen.tell(f"{place}: not seen to after all")
