"""What is made beside the screen where there are many lots is what is shown at once where there are few."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from engine.journal.store import journal_folder, read_journal
from tests.tui.farms import tell
from tests.tui.shed import Shed, opened
from tui import farm_app, screen
from tui.screen import WAITS

TODAY = date(2027, 3, 29)
KEYS = {"2": "Stock", "4": "Batches", "6": "Year", "7": "Site"}


def shown(shed: Shed) -> tuple[list[str], str, str]:
    """The lines of the screen in front, the one under the cursor, and what is told of it."""
    front = shed.app.screen
    assert isinstance(front, screen.FarmScreen)
    return [row.key for row in front.list.rows], front.list.rows[front.list.cursor].key, str(front.facts())


@pytest.mark.parametrize("key", KEYS)
async def test_a_screen_of_many_lots_shows_what_it_shows_of_few(
    key: str, demo: Callable[[date], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = demo(TODAY)
    async with opened(path, TODAY) as shed:
        await shed.press(key)
        await shed.app.workers.wait_for_complete()
        await shed.pilot.pause()
        assert KEYS[key] in shed.text
        few = shown(shed)
    monkeypatch.setattr(screen, "AT_ONCE", 0)
    async with opened(path, TODAY) as shed:
        await shed.press(key)
        await shed.until(lambda: WAITS not in shed.text, "it is shown")
        await shed.app.workers.wait_for_complete()
        await shed.pilot.pause()
        assert shown(shed) == few
        assert not shed.app.faults


async def test_what_another_device_recorded_is_taken_up_beside_the_screen(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "AT_ONCE", 0)
    async with opened(tiny, date(2027, 3, 11)) as shed:
        tell(tiny, "note", date(2027, 3, 11), device="office", batch="Z1", text="from the office")
        shed.app._watch()
        shed.app._watch()  # it is being read: once is enough
        await shed.do("note")
        await shed.fill(text="from the shed")
        await shed.save()
        await shed.until(lambda: len(shed.app.house.entries) == 6, "what both recorded is there")
        assert shed.app.house.entries == read_journal(journal_folder(tiny))[0]
        assert not shed.app.faults
