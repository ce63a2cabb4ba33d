"""The screens as they look, kept as plain text in `snapshots/`, and two as pictures beside the screens they show.

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
from rich.color import Color

from tests.sampled import few, sampled
from tests.tui.picture import svg
from tests.tui.shed import Shed, opened
from tui.palette import DARK, LIGHT
from tui.screen_list import PLACES

WRITES = os.environ.get("WIDGER_SNAPSHOTS") == "write"
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
SIZES = ((60, 18), (80, 24), (120, 40), (180, 50))
PICTURES = {"week": (120, 40), "cold": (120, 22)}
"""The screens of which the README shows a picture, and its size."""
TOP = Path(__file__).parents[3]

Demo = Callable[[date], Path]


def looked_at() -> tuple[tuple[int, int], ...]:
    """All sizes where the snapshots are written and with the slow tests, each second always."""
    return SIZES if WRITES else few(SIZES, 2)


def same(name: str, shed: Shed, size: tuple[int, int]) -> None:
    """Compare what is on the screen with what was kept, or keep it."""
    text = shed.text
    lines = text.splitlines()
    assert len(lines) <= size[1]
    assert max(map(cell_len, lines)) <= size[0]
    path = KEPT / f"{name}_{size[0]}x{size[1]}.txt"
    if WRITES:
        path.write_text(text + "\n", encoding="utf-8")
    assert path.exists(), f"{path.name} is not there: write it with WIDGER_SNAPSHOTS=write"
    assert text + "\n" == path.read_text(encoding="utf-8")


def drawn(name: str, shed: Shed) -> None:
    """Compare a picture of the README with the screen as it is, or draw it anew."""
    path = TOP / "tui" / "screens" / name / f"{name}.svg"
    picture = svg(shed.app, f"Widger: {name}")
    if WRITES:
        path.write_text(picture, encoding="utf-8")
    assert picture == path.read_text(encoding="utf-8"), f"{path.name} is stale: WIDGER_SNAPSHOTS=write draws it anew"


async def settled(shed: Shed) -> None:
    """The facts come a frame after the list, their bar and the week after a frame after them."""
    for _ in range(4):
        await shed.pilot.pause()


@pytest.mark.parametrize("season", sampled(SEASONS, 1 if WRITES else 2))
async def test_the_week_and_the_needs_in_four_seasons(demo: Demo, season: str):
    day = SEASONS[season]
    async with opened(demo(day), day, SIZES[0]) as shed:
        for key, name in (("1", season), ("5", f"needs_{season}")):
            await shed.press(key)
            await shed.worked_out()
            for size in looked_at():
                await shed.resize(size)
                await settled(shed)
                same(name, shed, size)
            if key == "5":
                for state in ("short", "coming", "covered"):
                    assert f" {state} " in shed.text
            elif season == "spring":
                await shed.resize(PICTURES["week"])
                await settled(shed)
                drawn("week", shed)


async def test_the_other_screens_the_keys_and_a_form_in_spring(demo: Demo):
    day = SEASONS["spring"]
    async with opened(demo(day), day, SIZES[0]) as shed:
        for name, key in OTHERS.items():
            await shed.press(key)
            for size in looked_at():
                await shed.resize(size)
                await settled(shed)
                same(name, shed, size)
            if name in PICTURES:
                await shed.resize(PICTURES[name])
                await settled(shed)
                drawn(name, shed)
        await shed.press("1")
        for size in looked_at():
            await shed.resize(size)
            await settled(shed)
            await shed.do("keys")
            await settled(shed)
            same("keys", shed, size)
            await shed.press("escape")
        await shed.go(next(row.key for row in shed.board.rows if row.state == "open" and row.kind == "task"
                           and row.tasks[0].kind == "act"))  # fmt: skip
        for size in looked_at():
            await shed.resize(size)
            await settled(shed)
            await shed.do("done")
            await settled(shed)
            same("done_form", shed, size)
            await shed.press("escape")


async def test_the_ways_to_plan_a_shortfall(demo: Demo):
    day = SEASONS["winter"]
    async with opened(demo(day), day, SIZES[0]) as shed:
        await shed.press("5", "slash", *"patch", "enter")
        await shed.worked_out()
        for size in looked_at():
            await shed.resize(size)
            await shed.press("p")
            await shed.worked_out()
            await settled(shed)
            same("plan", shed, size)
            await shed.press("escape")


async def test_light_and_dark_differ_in_their_colours_alone_and_have_no_others(demo: Demo):
    day = SEASONS["spring"]
    async with opened(demo(day), day, (80, 24)) as shed:
        texts: dict[str, list[str]] = {}
        for look in (DARK, LIGHT):
            inks = {getattr(look, name) for name in ("text", "sky", "clay", "lichen", "bark", "rule", "ground")}
            grounds = {getattr(look, name) for name in ("ground", "raised", "field", "tint", "lichen", "clay")}
            for key, *_ in PLACES:
                await shed.press(key)
                await shed.worked_out()
                await shed.press("home")
                await shed.worked_out()
                await settled(shed)
                texts.setdefault(key, []).append(shed.text)
                for strip in shed.app.screen._compositor.render_strips():
                    for text, style, _ in strip:
                        if text.strip(" ▁▂▃▄▅▆▇█") and style is not None and style.color and style.bgcolor:
                            assert of_these(style.color, inks), (key, text, style)
                            assert of_these(style.bgcolor, grounds), (key, text, style)
            await shed.press("1", "v")
        for key, (one, *others) in texts.items():
            assert others == [] or one == others[0], key


def of_these(colour: Color, known: set[str]) -> bool:
    """Whether it is one of them, but for what is lost in rounding."""
    assert colour.triplet is not None
    return any(
        max(abs(one - other) for one, other in zip(colour.triplet, Color.parse(each).triplet or (), strict=True)) <= 1
        for each in known
    )


def test_no_snapshot_is_kept_that_nothing_makes():
    wanted = {f"{name}_{w}x{h}.txt" for name in NAMES for w, h in SIZES}
    assert {path.name for path in KEPT.iterdir()} == wanted
    assert {path.stem for path in (TOP / "tui").rglob("*.svg")} == set(PICTURES)
