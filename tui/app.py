"""The Textual app: the look, the way from screen to screen, and what it takes up from the disk."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from importlib import import_module
from typing import ClassVar

from textual.filter import LineFilter
from textual.screen import Screen

from engine.farm.reading import Reading
from tui import garbage
from tui.farm_app import FarmApp
from tui.farmhouse import Farmhouse, Stamp
from tui.light_or_dark import HARMLESS, begin_look, few_colours
from tui.palette import THEMES, other
from tui.screen import FarmScreen
from tui.screen_list import PLACES
from tui.screens.week.screen import WeekScreen


class WidgerApp(FarmApp):
    """The screens on one farm, with their look."""

    CSS_PATH = "widger.tcss"
    TITLE = "Widger"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS: ClassVar[list[tuple[int, str]]] = [(0, "-narrow"), (110, "-wide")]  # type: ignore[misc]
    VERTICAL_BREAKPOINTS: ClassVar[list[tuple[int, str]]] = [(0, "-low"), (22, "-high")]  # type: ignore[misc]

    def __init__(self, house: Farmhouse | None, on: date | None = None) -> None:
        few = few_colours()
        super().__init__(house, on, ansi_color=few)
        begin_look(self, few)

    def get_css_variables(self) -> dict[str, str]:
        # Textual asks for those of its own look before ours is there: nobody sees them.
        return super().get_css_variables() if self.get_theme(THEMES[0].name) else {}

    def get_line_filters(self) -> Sequence[LineFilter]:
        return [*super().get_line_filters(), HARMLESS]

    def get_default_screen(self) -> Screen[None]:
        return WeekScreen()

    def on_mount(self) -> None:
        self.animation_level = "none"
        if self.is_open:
            self.settle()

    def settle(self) -> None:
        """The board is there: watch the disk, and collect what is no longer used."""
        self.set_interval(2.0, self._watch)
        self.call_after_refresh(garbage.begin)

    def action_go(self, name: str) -> None:
        """Go to another screen on the farm; it is made when it is first wanted, and always shows how things stand."""
        place = next((place for place in PLACES if place[1] == name), None)
        if place is None or type(self.screen).__name__ == place[4]:
            return
        while len(self.screen_stack) > 1:
            self.pop_screen()
        here = self.screen
        if type(here).__name__ != place[4]:
            self.push_screen(getattr(import_module(place[3]), place[4])())
        elif isinstance(here, FarmScreen):  # the week is the ground of them all
            here.list.settle()
            here.derive()

    def action_light_or_dark(self) -> None:
        """Change between the dark and the light look (bright sun)."""
        self.theme = other(self.theme)
        for screen in self.screen_stack:
            if isinstance(screen, FarmScreen) and screen.stands:
                screen.call_after_refresh(screen.restyle)

    def _watch(self) -> None:
        """Take up what the editor, or another device's journal, has changed; and the new day at midnight."""
        if self.changed():
            self.take_up(self._show_again)

    def _show_again(self, found: Farmhouse | Reading, stamped: Stamp | None) -> None:
        """Show the farm as it was read again, or say that it cannot be read."""
        screen = next((s for s in reversed(self.screen_stack) if isinstance(s, FarmScreen) and s.stands), None)
        if isinstance(found, Farmhouse):
            self.take(found, stamped)
            if screen is not None:
                screen.derive()
        elif screen is not None:
            screen.tell("the farm file cannot be read just now: `widger check` says why; the screen shows it as it was")
