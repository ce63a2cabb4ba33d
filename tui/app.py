"""The Textual app: the look, the way from screen to screen, and what it takes up from the disk."""

from __future__ import annotations

import gc
import os
from collections.abc import Sequence
from datetime import date
from importlib import import_module
from typing import ClassVar

from rich.console import Console
from rich.segment import Segment
from textual import constants
from textual.app import App
from textual.color import Color
from textual.filter import LineFilter

from engine.farm.reading import Reading
from tui.farm_app import FarmApp
from tui.farmhouse import Farmhouse, Stamp
from tui.out import harmless
from tui.palette import THEMES, other
from tui.places import PLACES
from tui.screen import FarmScreen
from tui.screens.week.screen import WeekScreen


def _collect() -> None:
    """Collect what is no longer used: `run` put it off, for in the midst of starting it costs a frame or two.

    What was read of the farm stays for good, and need not be gone through at each collecting; of a large farm's what
    comes since is much, and is let go of by itself: it is gone through seldom.
    """
    gc.freeze()
    gc.set_threshold(20_000, 20, 100)
    gc.enable()


class Harmless(LineFilter):
    """Takes out of every line drawn what would steer the terminal: no name or note reaches it otherwise."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002
        """Give the segments as they are, but for texts that would steer."""
        return [
            segment if segment.control or segment.text.isprintable() else segment._replace(text=harmless(segment.text))
            for segment in segments
        ]


_HARMLESS = Harmless()


def _sixteen_colours() -> bool:
    """Whether the terminal has no more; Textual's own console asks the same, but only once a theme is there."""
    asked = constants.COLOR_SYSTEM
    found = Console(force_terminal=True, legacy_windows=False).color_system if asked == "auto" else asked
    return found in ("standard", "windows")


class WidgerApp(FarmApp):
    """The screens on one farm, with their look."""

    CSS_PATH = "widger.tcss"
    TITLE = "Widger"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS: ClassVar[list[tuple[int, str]]] = [(0, "-narrow"), (110, "-wide")]  # type: ignore[misc]
    VERTICAL_BREAKPOINTS: ClassVar[list[tuple[int, str]]] = [(0, "-low"), (22, "-high")]  # type: ignore[misc]

    def __init__(self, house: Farmhouse, on: date | None = None) -> None:
        few = "NO_COLOR" in os.environ or _sixteen_colours()
        super().__init__(house, on, ansi_color=few)
        for theme in THEMES:
            self.register_theme(theme)
        light = os.environ.get("WIDGER_THEME") == "light"
        self._begin_with(f"widger-{'light' if light else 'dark'}{'-16' if few else ''}")

    def _begin_with(self, theme: str) -> None:
        """Take a theme before anything is drawn: to change to it would read every style twice."""
        self.set_reactive(App.theme, theme)
        self.set_class(self.current_theme.dark, "-dark-mode", update=False)
        self.set_class(not self.current_theme.dark, "-light-mode", update=False)
        self.stylesheet.set_variables(self.get_css_variables())

    def get_line_filters(self) -> Sequence[LineFilter]:
        return [*super().get_line_filters(), _HARMLESS]

    def get_default_screen(self) -> WeekScreen:
        return WeekScreen()

    def on_mount(self) -> None:
        self.animation_level = "none"
        self.set_interval(2.0, self._watch)
        self.call_after_refresh(_collect)

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
            self.take_up()

    def taken_up(self, found: Farmhouse | Reading, stamped: Stamp | None = None) -> None:
        screen = next((s for s in reversed(self.screen_stack) if isinstance(s, FarmScreen) and s.stands), None)
        if isinstance(found, Farmhouse):
            self.take(found, stamped)
            if screen is not None:
                screen.derive()
        elif screen is not None:
            screen.tell("the farm file cannot be read just now: `widger check` says why; the screen shows it as it was")
