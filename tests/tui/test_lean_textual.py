"""Textual as the board imports it, without its palette of commands, in a new process: what Widger has of it works."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.tui.farms import TODAY

ROOT = Path(__file__).parents[2]
SCRIPT = """
import asyncio, sys
from datetime import date
from pathlib import Path

from tui.lean_textual import import_textual

import_textual()
from tui.app import WidgerApp
from tui.farmhouse import enter

before = "textual.command" in sys.modules
today = date.fromisoformat(sys.argv[2])
app = WidgerApp(enter(Path(sys.argv[1]), today, keep=True), today)


async def shown():
    seen = []
    async with app.run_test(size=(100, 30)) as pilot:
        for key in ("ctrl+p", "question_mark", "escape", "n", "escape", "2", "a", "escape", "slash", "o", "escape"):
            await pilot.press(key)
            seen.append(type(app.screen).__name__)
    return seen


seen = asyncio.run(shown())
import ssl
from textual.command import CommandPalette, Provider

print(before, app.faults, seen[0], "PageScreen" in seen)
print(CommandPalette.__module__, hasattr(Provider, "search"), hasattr(ssl, "SSLContext"))
"""


def test_the_board_works_without_the_palette_and_the_palette_is_there_for_who_asks(tiny: Path):
    told = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(tiny), str(TODAY)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert told.stdout.splitlines() == ["False [] WeekScreen True", "textual.command True True"]
