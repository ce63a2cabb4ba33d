"""Any keys on each screen at three sizes: nothing fails, the journal adds up, and q leaves."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from engine.journal.store import journal_folder, read_journal
from tests.sampled import sampled
from tests.tui.fuzz.inputs import budget
from tests.tui.shed import bindings, opened
from tui.screen_list import PLACES

SIZES = ((80, 24), (120, 40), (40, 10))
TODAY = date(2027, 3, 29)
TYPED = tuple("abcdefghijklmnoprstuvwxyz0123456789 -+.,%/()²ж梅")
MOVES = ("up", "down", "left", "right", "enter", "escape", "tab", "shift+tab", "home", "end", "pageup", "pagedown",
         "backspace", "delete", "ctrl+s", "space")  # fmt: skip


@pytest.mark.parametrize("place", sampled(PLACES, 4), ids=lambda place: place[1])
async def test_no_keys_break_a_screen(place: tuple[str, ...], tmp_path: Path, demo_of: Callable[[date], Path]) -> None:
    """The screen is made smaller and larger as the keys go on."""
    source = demo_of(TODAY)
    folder = shutil.copytree(source.parent, tmp_path / "farm")
    path = folder / source.name
    chance = random.Random(place[1])
    pressed: list[str] = []
    async with opened(path, TODAY, SIZES[0]) as shed:
        await shed.press(place[0])
        own = [binding.key for binding in bindings(type(shed.app.screen)) if binding.key not in ("q", "left,h")]
        count = budget(30, 0.6)
        for n in range(count):
            turn, within = divmod(n * len(SIZES), count)
            if n and within < len(SIZES):
                await shed.resize(SIZES[turn])
            key = chance.choice(own if chance.random() < 0.5 else MOVES if chance.random() < 0.6 else TYPED)
            pressed.append(key)
            await shed.pilot.press(key)
            assert not shed.app.faults, (pressed[-40:], shed.app.faults)
            if chance.random() < 0.03:  # away from whatever is open, and back to this screen
                await shed.pilot.press("escape", "escape", "escape", place[0])
        for _ in range(6):
            await shed.pilot.press("escape")
        await shed.app.workers.wait_for_complete()
        await shed.pilot.pause()
        assert not shed.app.faults, (pressed[-40:], shed.app.faults)
        assert read_journal(journal_folder(path))[0] == shed.app.house.entries
        assert not shed.app.house.records.strays
        await shed.pilot.press("q")
    assert shed.app.return_code in (0, None)
