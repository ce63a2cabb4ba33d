"""No key of the needs screen waits for sums: they are worked out beside it, once, and dropped when stale."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from threading import Event

import pytest

from tests.tui.farms import tell
from tests.tui.screens.needs.office import FARM, TODAY, Office, to_office, write
from tests.tui.shed import opened
from tui.in_a_thread import kept
from tui.screens.needs import screen as needs_screen
from tui.screens.needs.rows import UNKNOWN


@pytest.fixture(name="home")
def _home(tmp_path: Path) -> Path:
    return write(tmp_path, *FARM)


@pytest.fixture
def held(monkeypatch) -> Iterator[Event]:
    """The sums, held up until it is set."""
    release = Event()
    for name in ("coverage", "ways_for"):
        real = getattr(needs_screen, name)
        monkeypatch.setattr(needs_screen, name, lambda *a, real=real: release.wait(120) and real(*a))
    yield release
    release.set()


async def test_the_needs_are_listed_and_the_cursor_moves_while_it_is_worked_out_how_they_stand(home: Path, held: Event):
    async with opened(home, TODAY) as shed:
        await shed.press("5")
        office = Office(shed)
        assert set(office.states.values()) == {UNKNOWN}
        assert "working out" in office.head
        before = office.here
        await office.press("down")
        assert office.here != before
        moved = office.here
        for key in ("p", "f", "enter"):
            await office.press(key)
            assert "still being worked out" in office.foot
        held.set()
        await office.settle()
        assert office.here == moved
        assert UNKNOWN not in office.states.values()


async def test_leaving_while_it_is_worked_out_harms_nothing_and_it_is_there_on_coming_back(home: Path, held: Event):
    async with opened(home, TODAY) as shed:
        await shed.press("5")
        await shed.press("1")
        await shed.press("5")
        held.set()
        office = Office(shed)
        await office.settle()
        assert UNKNOWN not in office.states.values()


async def test_quitting_while_it_is_worked_out_harms_nothing(home: Path, held: Event):
    async with opened(home, TODAY) as shed:
        await shed.press("5")
        await shed.press("q")
        held.set()
    assert (shed.app.return_code or 0, shed.app.is_running) == (0, False)


async def test_what_was_worked_out_for_a_farm_that_has_changed_since_is_dropped(home: Path, held: Event):
    async with opened(home, TODAY) as shed:
        await shed.press("5")
        office = Office(shed)
        before = shed.app.kept
        tell(home, "withdraw", TODAY, need="BIG")
        shed.app._watch()
        assert shed.app.kept is not before
        held.set()
        await office.settle()
        assert "BIG" not in office.states
        assert UNKNOWN not in office.states.values()


async def test_what_covers_the_needs_is_worked_out_once_for_each_state_of_the_farm(home: Path, monkeypatch):
    asked: list[int] = []
    real = needs_screen.coverage
    monkeypatch.setattr(needs_screen, "coverage", lambda *a: asked.append(1) or real(*a))
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await shed.press("1")
        await to_office(shed)
        assert len(asked) == 1
        assert kept(shed.app, "needs") is not None
        await office.press("x", "enter")
        await office.settle()
        assert len(asked) == 2


async def test_ways_that_come_for_a_need_left_by_the_cursor_are_kept_and_not_shown(home: Path, monkeypatch):
    release, begun = Event(), Event()
    real = needs_screen.ways_for

    def held_up(*given: object) -> object:
        begun.set()
        return release.wait(120) and real(*given)

    monkeypatch.setattr(needs_screen, "ways_for", held_up)
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await office.go("need BIG")
        await shed.until(begun.is_set, "the ways of the need under the cursor")
        await office.go("need HAND")
        release.set()
        await office.settle()
        assert "30 of S1" in office.facts
        assert kept(shed.app, ("ways", "BIG")) is not None
