"""The panels of all screens: the same parts in the same order, heads aligned, beside the list where there is room."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from engine.views.tonight import FROST, Hazard
from tests.tui.shed import Shed, opened
from tui.facts import CARE, GUTTER, HEADS, Facts, in_parts
from tui.screen import FarmScreen
from tui.screen_list import PLACES
from tui.screens.tonight.screen import TonightScreen

DAY = date(2027, 5, 10)
WANTED = {
    "WeekScreen": {"do", "when", "next", "care"}, "StockScreen": {"when", "for", "odds", "done", "care"},
    "ColdScreen": {"do", "when", "next", "seen", "care"}, "BatchesScreen": {"do", "when", "next", "done"},
    "NeedsScreen": {"do", "from", "odds"}, "YearScreen": {"next", "done"}, "SiteScreen": {"when", "next", "light"},
    "PlantingScreen": {"odds", "seen", "light"}, "DispatchScreen": {"do", "when", "for", "care"},
    "TonightScreen": {"do", "when", "care", "note"},
}  # fmt: skip
"""The parts that the lines of the demo farm have in May, by screen."""


def heads(shed: Shed) -> list[str]:
    """The heads of the panel in front that stand in its gutter, in their order."""
    facts = shed.app.screen.query_one(Facts)
    lines = [facts.render_line(y).text for y in range(len(facts._lines))]
    return [line[:GUTTER].strip() for line in lines if line[:GUTTER].strip() in HEADS and line[GUTTER - 1] == " "]


async def heads_of_all(shed: Shed) -> set[str]:
    """The heads on the screen in front, of a dozen of its lines."""
    screen = shed.app.screen
    assert isinstance(screen, FarmScreen)
    found: set[str] = set()
    for _ in range(12):
        await shed.worked_out()
        here = heads(shed)
        found |= set(here)
        order = [head for head in here if head != CARE]
        assert order == sorted(order, key=list(HEADS).index), (screen, here)
        screen.list.action_step(2)
    return found


async def test_every_screen_has_its_facts_in_the_same_parts(demo: Callable[[date], Path]):
    async with opened(demo(DAY), DAY, (120, 40)) as shed:
        for key, *_, name in PLACES:
            await shed.press(key)
            await shed.worked_out()
            facts, lines = shed.app.screen.query_one(Facts), shed.app.screen.query_one("Lines")
            assert facts.region.x > lines.region.x, name  # beside the list
            assert await heads_of_all(shed) >= WANTED[name], name
        shed.app.push_screen(TonightScreen(Hazard(FROST, -4.0)))
        await shed.pilot.pause()
        assert await heads_of_all(shed) >= WANTED["TonightScreen"]


async def test_a_number_and_its_unit_and_a_day_stay_on_one_line(demo: Callable[[date], Path]):
    async with opened(demo(DAY), DAY, (120, 40)) as shed:
        facts = shed.screen.query_one(Facts)
        told = "in places 69 % of them by 6 Mar 28 or 12 days on, after 3 h 06 at 4 °C and no more than that"
        for width in range(1, 20):
            facts.show(in_parts("x" * width, {"do": [f"{'x' * width} {told}"]}))
            lines = [facts.render_line(y).text[GUTTER:].rstrip() for y in range(1, len(facts._lines))]
            for kept in ("69 %", "6 Mar 28", "12 days", "3 h 06", "4 °C"):
                assert any(kept in line for line in lines), (width, kept, lines)
            assert " ".join(" ".join(lines).split()) == f"{'x' * width} {told}"


def test_parts_come_in_one_order_the_first_caution_high_and_none_twice():
    parts = {
        "note": ["n"],
        "care": ["mind the blade", "wash hands"],
        "odds": ["even"],
        "do": ["cut", "tie"],
        "next": [],
    }
    told = in_parts("plum", parts, ["it is late"]).plain
    assert told.split("\n") == [
        "plum", "! it is late", "do\tcut", "\ttie", "care\t! mind the blade", "odds\teven", "care\t! wash hands",
        "note\tn",
    ]  # fmt: skip
    assert in_parts("plum", {"care": ["a", "b"]}).plain == "plum\ncare\t! a\n\t! b"
    with pytest.raises(AssertionError):
        in_parts("plum", {"whatever": []})
