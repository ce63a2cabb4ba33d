"""What the keys of the plantings record."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from engine.acts import plantings
from tui.cells import day
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.writing import Recorder, attempt, write

if TYPE_CHECKING:
    from engine.views.planting import PlantingView, PlantLine


class PlantPicker(Recorder, Protocol):
    """A screen with a cursor on the plants."""

    def under_cursor(self) -> tuple[PlantingView, PlantLine] | None:
        """The plant under the cursor and its planting; says so where there is none."""


def found(screen: PlantPicker, state: str, cause: str = "") -> bool:
    """Record what the walk finds of the plant under the cursor; whether it was recorded."""
    here = screen.under_cursor()
    if here is None:
        return False
    name, plant, today = here[0].planting.name, here[1].plant.id, screen.app.today
    return attempt(screen, lambda n, _: plantings.walked(n, name, plant, state, today, today, cause))


def note(screen: PlantPicker) -> None:
    here = screen.under_cursor()
    if here is None:
        return
    name, plant, today = here[0].planting.name, here[1].plant.id, screen.app.today

    def save(values: Values) -> None:
        write(screen, lambda n, _: plantings.walked(n, name, plant, "note", today, today, note=values["note"]))

    screen.app.push_screen(FormScreen(f"{name} · {plant}", [Field("note", "note")], save))


def take_over(screen: PlantPicker) -> None:
    """The understudy under the cursor, or that of the dead first choice there, takes the place."""
    from engine.views.planting_now import stand_in

    here = screen.under_cursor()
    if here is None:
        return
    view, line = here
    other = line if line.plant.beside else stand_in(view, line)
    if other is None:
        screen.tell("it has no living understudy; n asks for a new one")
        return
    name, plant, today = view.planting.name, other.plant.id, screen.app.today
    attempt(screen, lambda n, _: plantings.take_over(n, name, plant, today, today))


def ask_anew(screen: PlantPicker) -> None:
    """A need for a new plant where one died, by the first season in which a way of raising it fits."""
    from engine.views.planting_now import when_anew

    here = screen.under_cursor()
    if here is None:
        return
    (view, line), app = here, screen.app
    if line.state != "dead":
        screen.tell(f"{line.plant.id} is {line.state}: no new plant is wanted there")
        return
    by, way = when_anew(app.day(), view.planting, line)
    name, plant, today = view.planting.name, line.plant.id, app.today
    if attempt(screen, lambda n, entries: plantings.ask_anew(n, entries, name, plant, by, today)):
        screen.tell(f"a new {line.name} is asked for by {day(by, True)}, {way}; it is on the needs screen (5)")
