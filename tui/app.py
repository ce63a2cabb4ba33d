"""The Textual app: it holds the farm as read, today's date, and the look; the screens draw."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Sequence
from datetime import date
from importlib import import_module
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import App
from textual.theme import Theme

from engine.journal.entry import Entry
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan
from tui import door
from tui.farmhouse import Farmhouse, enter, record_all, refresh
from tui.screen import FarmScreen
from tui.screens.week.screen import WeekScreen

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.needs.rates import Track

# Bark, leaf and lichen: few colours, each at least 4.5 to 1 on its ground (tests/tui measure it).
DARK = Theme(
    name="widger-dark", dark=True,
    primary="#a9d18e", secondary="#b8b4a6", accent="#f0d890", foreground="#efece2", background="#1b1e1a",
    surface="#272b25", panel="#343a31", warning="#f2b25c", error="#ff9d86", success="#a9d18e",
)  # fmt: skip
LIGHT = Theme(
    name="widger-light", dark=False,
    primary="#2c5a1e", secondary="#57544a", accent="#2c4a63", foreground="#1c1b17", background="#f7f5ec",
    surface="#e9e6d8", panel="#dcd8c6", warning="#7a4300", error="#98200c", success="#2c5a1e",
)  # fmt: skip


# Where the number keys go: the module of a screen and its name.
PLACES_TO_GO = {
    "week": ("tui.screens.week.screen", "WeekScreen"),
    "stock": ("tui.screens.stock.screen", "StockScreen"),
    "cold": ("tui.screens.cold.screen", "ColdScreen"),
    "batches": ("tui.screens.batches.screen", "BatchesScreen"),
    "needs": ("tui.screens.needs.screen", "NeedsScreen"),
    "year": ("tui.screens.year.screen", "YearScreen"),
    "site": ("tui.screens.site.screen", "SiteScreen"),
}


class WidgerApp(App[None]):
    """The screens on one farm. `on` stands for today where it is given."""

    CSS_PATH = "widger.tcss"
    TITLE = "Widger"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS: ClassVar[list[tuple[int, str]]] = [(0, "-narrow"), (110, "-wide")]

    def __init__(self, house: Farmhouse, on: date | None = None) -> None:
        plain = "NO_COLOR" in os.environ
        super().__init__(ansi_color=plain)
        self.house = house
        self.device = door.device()
        self._on = on
        self._plans: tuple[date, tuple[Plan, ...]] | None = None
        self._track: Track | None = None
        self.kept: dict[object, Any] = {}
        """What the screens had worked out for this state of the farm."""
        self._stamp = _stamp(house)
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        light = os.environ.get("WIDGER_THEME") == "light"
        self._begin_with("ansi-dark" if plain else "widger-light" if light else "widger-dark")

    def _begin_with(self, theme: str) -> None:
        """Take a theme before anything is drawn: to change to it would read every style twice."""
        self.set_reactive(App.theme, theme)
        self.set_class(self.current_theme.dark, "-dark-mode", update=False)
        self.set_class(not self.current_theme.dark, "-light-mode", update=False)
        self.stylesheet.set_variables(self.get_css_variables())

    @property
    def today(self) -> date:
        return self._on or door.today()

    def get_default_screen(self) -> WeekScreen:
        return WeekScreen()

    def on_mount(self) -> None:
        self.animation_level = "none"
        self.set_interval(2.0, self._watch)
        self.call_after_refresh(gc.enable)  # `run` put collecting off: in the midst of starting it costs a frame or two

    def plans(self) -> tuple[Plan, ...]:
        """Every lot's plan for today, made once for each state of the farm."""
        if self._plans is None or self._plans[0] != self.today:
            self._plans = (self.today, self.house.plans(self.today))
        return self._plans[1]

    def track(self) -> Track:
        """The grower's own results, gathered once for each state of the farm."""
        if self._track is None:
            from engine.needs.rates import track_of

            self._track = track_of(self.house.records)
        return self._track

    def record(self, make: Callable[[Nursery, tuple[Entry, ...]], Action]) -> Entry:
        """Write one entry and take the journal up again. Raises Refused or JournalError."""
        return self.record_all(lambda nursery, entries: [make(nursery, entries)])[0]

    def record_all(self, make: Callable[[Nursery, tuple[Entry, ...]], Sequence[Action]]) -> tuple[Entry, ...]:
        """Write several entries in one append, all or none, as `record` writes one."""
        written = record_all(self.house.path, self.house.farm, make)
        self._take(refresh(self.house))
        return written

    def problem_count(self) -> int:
        return len(self.house.reading.problems) + len(self.house.troubles)

    def can_undo(self) -> bool:
        return any(e.id.startswith(f"{self.device}-") for e in self.house.entries)

    def action_go(self, name: str) -> None:
        """Go to another screen on the farm; it is made when it is first wanted, and always shows how things stand."""
        if name not in PLACES_TO_GO:
            return
        if isinstance(self.screen, FarmScreen) and type(self.screen).__name__ == PLACES_TO_GO[name][1]:
            return
        module, screen = PLACES_TO_GO[name]
        while len(self.screen_stack) > 1:
            self.pop_screen()
        if name == "week":
            week = self.screen
            if isinstance(week, FarmScreen):
                week.derive()
        else:
            self.push_screen(getattr(import_module(module), screen)())

    def action_light_or_dark(self) -> None:
        """Change between the dark and the light look (bright sun)."""
        self.theme = {
            "widger-dark": "widger-light",
            "widger-light": "widger-dark",
            "ansi-dark": "ansi-light",
            "ansi-light": "ansi-dark",
        }.get(self.theme, "widger-dark")

    def _take(self, house: Farmhouse) -> None:
        self.house = house
        self._plans, self._track, self.kept = None, None, {}
        self._stamp = _stamp(house)

    def _watch(self) -> None:
        """Take up what the editor, or another device's journal, has changed; and the new day at midnight."""
        new_day = self._plans is not None and self._plans[0] != self.today
        if not new_day and _stamp(self.house) == self._stamp:
            return
        found = enter(self.house.path, self.today)
        screen = next((s for s in reversed(self.screen_stack) if isinstance(s, FarmScreen)), None)
        if isinstance(found, Farmhouse):
            self._take(found)
            if screen is not None:
                screen.derive()
        else:
            self._stamp = _stamp(self.house)
            if screen is not None:
                screen.tell("the farm file cannot be read just now: `widger check` tells; the board stands as it was")


def _stamp(house: Farmhouse) -> tuple[tuple[str, int, int], ...]:
    """The state of the farm file, its journal and its thermometer on the disk: names, times and sizes."""
    from engine.journal.store import journal_folder

    path = house.path
    folder = journal_folder(path)
    files = [path, *sorted(folder.glob("*.jsonl"))] if folder.exists() else [path]
    if house.farm.site.record:
        files.append(path.parent / house.farm.site.record)
    found = []
    for file in files:
        try:
            told = file.stat()
            found.append((file.name, told.st_mtime_ns, told.st_size))
        except OSError:
            continue
    return tuple(found)
