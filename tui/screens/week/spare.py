"""Spare time: ask how much there is, and show on the board only what fits into it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Protocol

from engine.views.spare import spare
from tui.cells import counted
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.paper.spare import left_out_line
from tui.screens.week.rows import task_key
from tui.typed_numbers import at_least_1

if TYPE_CHECKING:
    from engine.views.week import Week
    from tui.farm_app import FarmApp

USUAL = "40"
"""Minutes."""


class SpareScreen(Protocol):
    """The week, as what fits into spare time is asked of it."""

    week: Week | None
    under_cover: bool
    fitting: frozenset[str] | None
    left_out: Mapping[str, str]

    @property
    def app(self) -> FarmApp: ...

    def draw(self) -> None:
        """Put the lines that are wanted into the list."""

    def tell(self, words: str) -> None:
        """Say it at the foot."""


def ask_spare(screen: SpareScreen) -> None:
    """Ask for the minutes; on a wet day only what is under cover counts."""
    week, wet = screen.week, screen.under_cover
    assert week is not None

    def save(values: Values) -> None:
        minutes = at_least_1(values["minutes"])
        assert week is not None
        found = spare(week, minutes, wet)
        screen.fitting = frozenset(map(task_key, found.tasks))
        screen.left_out = {task_key(task): left_out_line(task, minutes, week.today) for task in found.left_out}
        screen.draw()
        longer = f"; {counted(found.longer, 'task')} would take longer" if found.longer else ""
        took = f"{counted(len(found.tasks), 'task')} in {minutes - found.left:.0f} of {minutes} minutes"
        screen.app.call_later(screen.tell, f"{took}{longer}; Esc shows all")

    told = "only what is under cover counts" if wet else "c first: only what is under cover"
    screen.app.push_screen(FormScreen("Spare time", [Field("minutes", "minutes", USUAL)], save, told))
