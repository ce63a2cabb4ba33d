"""The screens as they look, kept as plain text in `snapshots/`.

WIDGER_SNAPSHOTS=write python -m pytest tests/tui/screens/test_snapshots.py

writes them anew; look at what has changed before it is kept.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len

from tests.tui.shed import Shed, opened

KEPT = Path(__file__).parent / "snapshots"
SEASONS = {
    "autumn": date(2026, 10, 20),
    "winter": date(2027, 1, 19),
    "spring": date(2027, 4, 6),
    "summer": date(2027, 7, 20),
}
OTHERS = {"stock": "2", "cold": "3", "batches": "4", "year": "6", "site": "7"}
"""The screens that show at once how things stand, and their keys."""
NAMES = (*SEASONS, *(f"needs_{season}" for season in SEASONS), *OTHERS, "done_form", "keys", "plan")
SIZES = [(80, 24), (120, 40)]

Demo = Callable[[date], Path]


def same(name: str, shed: Shed, size: tuple[int, int]) -> None:
    """Compare what is on the screen with what was kept, or keep it."""
    text = shed.text
    lines = text.splitlines()
    assert len(lines) <= size[1]
    assert max(map(cell_len, lines)) <= size[0]
    path = KEPT / f"{name}_{size[0]}x{size[1]}.txt"
    if os.environ.get("WIDGER_SNAPSHOTS") == "write":
        path.write_text(text + "\n", encoding="utf-8")
    assert path.exists(), f"{path.name} is not there: write it with WIDGER_SNAPSHOTS=write"
    assert text + "\n" == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("season", SEASONS)
async def test_the_week_and_the_needs_in_four_seasons(demo: Demo, season: str, size: tuple[int, int]):
    day = SEASONS[season]
    async with opened(demo(day), day, size) as shed:
        await shed.pilot.pause()  # the facts come a frame after the list, their bar a frame after them
        same(season, shed, size)
        await shed.press("5")
        await shed.worked_out()
        same(f"needs_{season}", shed, size)
        for state in ("short", "coming", "covered"):
            assert f" {state} " in shed.text


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_the_other_screens_the_keys_and_a_form_in_spring(demo: Demo, size: tuple[int, int]):
    day = SEASONS["spring"]
    async with opened(demo(day), day, size) as shed:
        for name, key in OTHERS.items():
            await shed.press(key)
            await shed.pilot.pause()
            await shed.pilot.pause()
            same(name, shed, size)
        await shed.press("1")
        await shed.do("keys")
        same("keys", shed, size)
        await shed.press("escape")
        await shed.go(next(row.key for row in shed.board.rows if row.state == "open" and row.kind == "task"
                           and row.tasks[0].kind == "act"))  # fmt: skip
        await shed.do("done")
        same("done_form", shed, size)


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_the_ways_to_plan_a_shortfall(demo: Demo, size: tuple[int, int]):
    day = SEASONS["winter"]
    async with opened(demo(day), day, size) as shed:
        await shed.press("5", "slash", *"patch", "enter")
        await shed.worked_out()
        await shed.press("p")
        await shed.worked_out()
        same("plan", shed, size)


def test_no_snapshot_is_kept_that_nothing_makes():
    wanted = {f"{name}_{w}x{h}.txt" for name in NAMES for w, h in SIZES}
    assert {path.name for path in KEPT.iterdir()} == wanted
