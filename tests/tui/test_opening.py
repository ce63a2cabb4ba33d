"""A large farm opens behind a screen that says how far it has come, with its keys alive; then the board is there."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from tests.tui.farms import TODAY
from tests.tui.shed import SIZE, Shed, screen_text
from tui import farmhouse, opening
from tui.commands.shared import screens
from tui.opening import OpeningApp, OpeningScreen, opening_lines
from tui.screens.week.screen import WeekScreen


@pytest.fixture(autouse=True)
def _as_it_was() -> Iterator[None]:
    before = sys.getswitchinterval()
    yield
    sys.setswitchinterval(before)


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch) -> Iterator[Event]:
    """The farm is not read to its end before this is set."""
    go, real = Event(), opening.enter

    def enter(path: Path, on: date, keep: bool, tell: farmhouse.Told) -> Any:
        tell(farmhouse.READ, 1_200)
        go.wait(60)
        return real(path, on, keep, tell=tell)

    monkeypatch.setattr(opening, "enter", enter)
    yield go
    go.set()


async def test_the_keys_live_while_it_opens_and_the_board_comes(tiny: Path, held: Event):
    app = OpeningApp(tiny, TODAY)
    async with app.run_test(size=SIZE) as pilot:
        shed = Shed(app, pilot, tiny)
        await shed.until(lambda: "reading the journal           1,200 entries" in screen_text(app))
        assert "Opening" in screen_text(app)
        await pilot.press("question_mark")
        await shed.until(lambda: "nothing is written while a farm opens" in screen_text(app))
        held.set()
        await shed.until(
            lambda: app.is_open and isinstance(app.screen, WeekScreen) and app.screen.stands and shed.board.rows
        )
        assert shed.text.splitlines()[1].startswith(" Week")
        key = next(row.key for row in shed.board.rows if row.kind == "task")
        await shed.go(key)
        await pilot.press("2", "1")
        assert app.screen is shed.screen
        shed.screen.action_record("note")
        await pilot.pause()
        await shed.fill(text="dry")
        await shed.save()
        assert [entry.data["text"] for entry in shed.entries()] == ["dry"]
        assert not app.faults


async def test_it_can_be_left_while_it_opens(tiny: Path, held: Event):
    app = OpeningApp(tiny, TODAY)
    async with app.run_test(size=SIZE) as pilot:
        await Shed(app, pilot, tiny).until(lambda: isinstance(app.screen, OpeningScreen))
        await pilot.press("q")
    assert not held.is_set()
    assert not app.is_open
    assert (app.unread, app.failed) == (None, None)


@pytest.mark.parametrize("text", ["[farm]\nname = 3", None])
async def test_what_cannot_be_read_ends_it_with_the_reason(tmp_path: Path, text: str | None):
    path = tmp_path / "farm.toml"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    app = OpeningApp(path, TODAY)
    async with app.run_test(size=SIZE) as pilot:
        await Shed(app, pilot, path).until(lambda: app.unread or app.failed)
    assert app.unread is not None
    assert app.unread.problems


async def test_a_fault_of_ours_is_handed_on(tiny: Path, monkeypatch: pytest.MonkeyPatch):
    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(opening, "enter", fails)
    app = OpeningApp(tiny, TODAY)
    async with app.run_test(size=SIZE) as pilot:
        await Shed(app, pilot, tiny).until(lambda: app.failed)
    assert isinstance(app.failed, ZeroDivisionError)


def test_a_farm_is_large_by_its_file_or_its_journal(tiny: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    assert not farmhouse.is_large(tiny)
    assert not farmhouse.is_large(tmp_path / "none.toml")
    monkeypatch.setattr(farmhouse, "LARGE_FARM", 100)
    assert farmhouse.is_large(tiny)
    monkeypatch.setattr(farmhouse, "LARGE_FARM", 1_000_000)
    folder = farmhouse.journal_folder(tiny)
    folder.mkdir(exist_ok=True)
    (folder / "shed.jsonl").write_bytes(b"x" * 200)
    monkeypatch.setattr(farmhouse, "LARGE_JOURNAL", 100)
    assert farmhouse.is_large(tiny)


def test_what_each_part_has_come_to_is_told():
    assert opening_lines({}) == ["reading the farm file"]
    told = opening_lines({"read": (200_000, 0), "taken": (65_000, 196_554), "planned": (0, 1_250)})
    assert told == [
        "reading the journal           200,000 entries",
        "working through the entries   65,000 of 196,554 entries",
        "planning what is under way    0 of 1,250 lots",
    ]


@pytest.mark.parametrize("large", [True, False])
def test_only_a_large_farm_opens_so(tiny: Path, large: bool, monkeypatch: pytest.MonkeyPatch):
    class Terminal:
        def isatty(self) -> bool:
            return True

    opened: list[str] = []
    monkeypatch.setattr(screens.sys, "stdin", Terminal())
    monkeypatch.setattr(screens.sys, "stdout", Terminal())
    monkeypatch.setattr(farmhouse, "LARGE_FARM", 1 if large else 1_000_000)
    for kind in ("tui.opening.OpeningApp.run", "tui.app.WidgerApp.run"):
        monkeypatch.setattr(kind, lambda self: opened.append(type(self).__name__))
    assert screens.open_screens(tiny, TODAY) == 0
    assert opened == ["OpeningApp" if large else "WidgerApp"]
