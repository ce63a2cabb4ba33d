"""A large farm while it opens: what is being read is told, and the keys live, until the board is there."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from threading import Thread
from typing import ClassVar, cast

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widgets import Static

from engine.farm.reading import Reading
from engine.views.week import Week, week_view
from tui.app import WidgerApp
from tui.farmhouse import PLANNED, READ, TAKEN, enter
from tui.own_faults import Netted
from tui.screens.week.screen import WeekScreen

OFTEN_S = 0.05
SWITCH_S = 0.001
"""So long the work beside the keys may go on before a key is taken."""
PARTS = (
    (READ, "reading the journal", "entries"),
    (TAKEN, "working through the entries", "entries"),
    (PLANNED, "planning what is under way", "lots"),
)
"""The parts of the opening in their order, and what is counted in each."""
Far = dict[str, tuple[int, int]]
"""How far each part has come that has begun: so many, and of how many where that is known."""


def opening_lines(far: Far) -> list[str]:
    """`reading the journal     120,000 entries`: a line for each part that has begun."""
    lines = []
    for part, told, what in PARTS:
        if part in far:
            done, total = far[part]
            count = f"{done:,} of {total:,} {what}" if total else f"{done:,} {what}"
            lines.append(f"{told:<30}{count}")
    return lines or ["reading the farm file"]


class OpeningScreen(Netted, Screen[None]):
    """How far the opening has come, with the keys that are there already."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("q", "app.quit", "quit", id="quit"),
        Binding("question_mark", "keys", "help", key_display="?", id="keys"),
    ]

    def compose(self) -> ComposeResult:
        yield Static("Widger", id="where")
        yield Static(Text(f"Opening {self._opening.path.name}", style="bold"), id="head")
        yield Static(id="far")
        yield Static("q quit  ? help", id="foot")

    @property
    def _opening(self) -> OpeningApp:
        return cast("OpeningApp", self.app)

    def on_mount(self) -> None:
        self._show()
        self._timer = self.set_interval(OFTEN_S, self._look)
        self.call_after_refresh(self._opening.start)

    def _look(self) -> None:
        """See how far it has come. The thread calls nobody, who may have left."""
        if self._opening.read:
            self._timer.stop()
            self._opening.show_farm()
        else:
            self._show()

    def _show(self) -> None:
        self.query_one("#far", Static).update(Text("\n".join(opening_lines(dict(self._opening.far)))))

    def action_keys(self) -> None:
        """What can be done meanwhile."""
        from tui.forms.help import help_page
        from tui.forms.page import PageScreen

        keys = [("q", "quit; nothing is written while a farm opens"), ("?", "this page; Esc leaves it")]
        end = "The board appears as soon as the farm is read, and its keys work from then on."
        self.app.push_screen(PageScreen(help_page("Keys: opening", [("Keys", keys)], end, self.size.width), wide=True))


class OpeningApp(WidgerApp):
    """Widger on a farm that is read beside a screen which says so."""

    def __init__(self, path: Path, on: date | None = None) -> None:
        super().__init__(None, on)
        self.path = path
        self.far: Far = {}
        self.unread: Reading | None = None
        """What was found where there is no farm to work with."""
        self.failed: Exception | None = None
        self._news = ""
        self._week: Week | None = None
        self.read = False
        """Whether all is read that can be."""

    def get_default_screen(self) -> Screen[None]:
        return OpeningScreen()

    def start(self) -> None:
        """Begin to read. The thread ends with Widger: a grower who leaves does not wait for it."""
        sys.setswitchinterval(SWITCH_S)
        Thread(target=self._enter, daemon=True).start()

    def _told_far(self, part: str, done: int, total: int = 0) -> None:
        self.far[part] = done, total

    def _enter(self) -> None:
        """Read the farm, and all that its first screen shows; what lies in wait for a key is found here too."""
        week: Week | None = None
        try:
            found = enter(self.path, self.today, keep=True, tell=self._told_far)
            if isinstance(found, Reading):
                self.unread = found
            else:
                self.begin(found)
                self._planned = self.house.day(self.today, None, self._told_far)
                week = week_view(self._planned)
                self.can_undo()
                self._news = super().news()
        except Exception as error:
            self.failed = error
        self._week, self.read = week, True

    def show_farm(self) -> None:
        """Go on to the board; where nothing could be read, the caller tells why."""
        if self._week is None or self.failed is not None:
            self.exit()
            return
        self.is_open, week = True, self._week
        self.add_mode("farm", lambda: WeekScreen(week))
        self.switch_mode("farm")
        self.settle()

    def news(self) -> str:
        """What was found while it opened."""
        told, self._news = self._news, ""
        return told
