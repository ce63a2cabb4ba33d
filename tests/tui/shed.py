"""What the tests see of a screen, and how they find their way on it."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Iterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from time import monotonic
from typing import TypeVar

from textual.app import App
from textual.binding import Binding
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input, Label, Static

from engine.journal.entry import Entry
from engine.journal.store import journal_folder, read_journal
from engine.schedule.plan import Plan
from tests.tui.farms import TODAY, open_house
from tui.app import WidgerApp
from tui.facts import Facts
from tui.forms.form import FormScreen
from tui.forms.page import PageScreen
from tui.forms.plants import PlantForm
from tui.screen import FarmScreen
from tui.screens.week.board import Board
from tui.screens.week.rows import Row
from tui.screens.week.screen import WeekScreen

SIZE = (100, 30)
S = TypeVar("S")


def bindings(screen: type[Screen[None]] = WeekScreen) -> list[Binding]:
    """The keys of a screen of Widger's, those that it shares with the others included."""
    found: dict[str, Binding] = {}
    for kind in screen.__mro__:
        if kind.__module__.startswith("tui."):
            for binding in vars(kind).get("BINDINGS", ()):
                assert isinstance(binding, Binding), binding
                found.setdefault(binding.key, binding)
    return list(found.values())


def screen_text(app: App[None]) -> str:
    """The screen as plain text, as it stands in the compositor (a private name of Textual's: used only here)."""
    app.screen._compositor.behind = False  # type: ignore[attr-defined]
    return "\n".join(strip.text.rstrip() for strip in app.screen._compositor.render_strips())


def explained(page: str, binding: Binding) -> bool:
    """Whether a page of help has every word that a key is told by; the screens' own are told together."""
    going = (binding.id or "").startswith("go_")
    return set(("the screens" if going else binding.description).split()) <= set(page.split())


@dataclass
class Shed:
    """An open Widger, with what the tests ask of it."""

    app: WidgerApp
    pilot: Pilot[None]
    path: Path

    @property
    def screen(self) -> WeekScreen:
        return next(screen for screen in self.app.screen_stack if isinstance(screen, WeekScreen))

    @property
    def board(self) -> Board:
        return self.screen.board

    @property
    def text(self) -> str:
        return screen_text(self.app)

    @property
    def keys(self) -> list[str]:
        """The keys of the lines on the board, places left out."""
        return [row.key for row in self.board.rows if row.kind != "place"]

    @property
    def foot(self) -> str:
        return str(self.screen.query_one("#foot", Static).render())

    @property
    def refusal(self) -> str:
        """What the form on top refuses, or nothing."""
        return str(self.app.screen.query_one(".refusal", Label).render())

    def row(self, key: str) -> Row:
        return next(row for row in self.board.rows if row.key == key)

    def plan(self, lot: str) -> Plan:
        return next(plan for plan in self.app.plans() if plan.lot.id == lot)

    def entries(self) -> list[Entry]:
        """What this device has written to the journal on the disk."""
        return [e for e in read_journal(journal_folder(self.path))[0] if e.id.startswith("bench-")]

    async def go(self, key: str) -> None:
        """Put the cursor on a line of the board."""
        self.board._move(next(n for n, row in enumerate(self.board.rows) if row.key == key))
        await self.pilot.pause()

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)

    async def do(self, key: str) -> None:
        """What the key of that id does, without the time that pressing it takes."""
        action = next(binding.action for binding in bindings() if binding.id == key)
        await self.screen.run_action(action)
        await self.pilot.pause()

    async def fill(self, **values: str) -> None:
        """Set the fields of the form on top."""
        form = self.app.screen
        assert isinstance(form, FormScreen), form
        for name, value in values.items():
            form.query_one(f"#{name}", Input).value = value
        await self.pilot.pause()

    async def resize(self, size: tuple[int, int]) -> None:
        await self.pilot.resize_terminal(*size)
        await self.pilot.pause()

    async def refuses(self, cases: Iterable[tuple[dict[str, str], str]]) -> None:
        """Each of these, in the form on top, is refused in it with those words; nothing is written."""
        form = self.app.screen
        assert isinstance(form, FormScreen | PlantForm), form
        filled = {field.id or "": field.value for field in form.query(Input)}
        for given, told in cases:
            form.query_one(".refusal", Label).update("")
            for name, value in {**filled, **given}.items():
                form.query_one(f"#{name}", Input).value = value
            await self.pilot.pause()
            form.action_save()
            await self.pilot.pause()
            assert self.app.screen is form, given
            assert told in self.refusal, given
            assert len(self.refusal) > 5, given
            if any(given.values()):  # and there the cursor stands
                assert self.app.focused is not None, given
                assert self.app.focused.id in given, (given, self.app.focused.id)
            assert self.entries() == [], given

    async def until(self, holds: Callable[[], object], what: str = "") -> None:
        """Wait for a state, however busy the machine is; it gives up only where no machine would take so long."""
        end = monotonic() + 120
        while not holds():
            assert monotonic() < end, f"in two minutes it did not come: {what or holds}\n{self.text}"
            await self.pilot.pause(0.02)

    async def worked_out(self) -> None:
        """Wait until all that is worked out beside the screen in front is on it."""
        screen = self.app.screen

        def told() -> Iterator[str]:
            yield from (str(widget.render()) for widget in screen.query(Static))
            yield from (facts.told for facts in screen.query(Facts))
            if isinstance(screen, PageScreen):
                yield screen.text.plain

        await self.pilot.pause()
        await self.until(lambda: not any("working out" in words for words in told()), "the sums")
        await self.app.workers.wait_for_complete()
        await self.pilot.pause()

    async def save(self) -> None:
        form = self.app.screen
        assert isinstance(form, FormScreen), form
        form.action_save()
        await self.pilot.pause()

    def on_top(self, kind: Callable[..., S]) -> S:
        top = self.app.screen
        assert isinstance(top, kind), top  # type: ignore[arg-type]
        return top


@asynccontextmanager
async def opened(path: Path, on: date | None = TODAY, size: tuple[int, int] = SIZE) -> AsyncIterator[Shed]:
    """Widger open on a farm, on a day."""
    app = WidgerApp(open_house(path), on)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield Shed(app, pilot, path)
        if app.is_running and app.screen_stack and getattr(app.screen._compositor, "behind", True):
            screen_text(app)  # what is there at the end can be drawn
        if app.faults:
            raise app.faults[0]


async def in_turn(shed: Shed, *looks: Callable[[Shed], Awaitable[None]]) -> None:
    """Several looks at one open farm that write nothing to it, each from the week at the size it was opened in."""
    size = shed.app.size
    for look in looks:
        if shed.app.size != size:
            await shed.resize(size)
        try:
            await look(shed)
        except Exception as fault:
            fault.add_note(f"in {look.__name__}")  # type: ignore[attr-defined]
            raise
        while not isinstance(shed.app.screen, FarmScreen):
            await shed.press("escape")
        await shed.press("escape", "1", "escape", "home")
    assert shed.entries() == []
