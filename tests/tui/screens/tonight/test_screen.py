"""`f` on the week: what is coming is asked, what stands exposed is told by place, and one key sees to a place."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.sampled import sampled
from tests.tui.shed import opened
from tui.screens.tonight.screen import TonightScreen
from tui.screens.week.screen import WeekScreen

MAY = date(2027, 5, 10)


@pytest.mark.parametrize("size", sampled([(80, 24), (120, 40)], 2), ids=str)
async def test_the_low_is_asked_and_the_tenderest_stand_first(demo: Callable[[date], Path], size: tuple[int, int]):
    async with opened(demo(MAY), MAY, size) as shed:
        await shed.press("f", "minus", "3", "enter")
        screen = shed.on_top(TonightScreen)
        assert (screen.hazard.kind, screen.hazard.celsius) == ("frost", -3)
        bears = [each.bears_c for each in screen.lots]
        assert bears == sorted(bears, key=lambda c: -(c or 0))
        assert "Frost tonight, low -3.0 °C" in shed.text
        assert "cover it with fleece" in shed.text
        assert max(map(len, shed.text.splitlines())) <= size[0]


async def test_one_key_sees_to_a_place_and_again_takes_it_back(demo: Callable[[date], Path]):
    async with opened(demo(MAY), MAY) as shed:
        await shed.press("f", "minus", "3", "enter")
        screen = shed.on_top(TonightScreen)
        place = screen.board.row.place if screen.board.row else ""
        assert place
        await shed.press("d")
        assert [(e.kind, e.data["place"]) for e in shed.entries()] == [("worked", place)]
        assert f"1 of {len(screen.places)} places seen to" in shed.text
        assert place in screen.done
        screen.board.go_to(next(row.key for row in screen.board.rows if row.place == place and not row.head))
        await shed.press("d")
        assert screen.done == frozenset()
        await shed.press("d")
        assert screen.board.row is not None
        assert not screen.board.row.done
        assert screen.board.row.place != place
        await shed.press("u")
        assert screen.done == frozenset()


async def test_another_low_a_gale_and_back_to_the_week(demo: Callable[[date], Path]):
    async with opened(demo(MAY), MAY) as shed:
        await shed.press("f", *"mild", "enter")
        assert "not a number of degrees C" in shed.refusal
        await shed.press("home", *["delete"] * 4, *"wind", "enter")
        screen = shed.on_top(TonightScreen)
        assert "Gale" in shed.text
        await shed.press("p")
        assert screen.hazard.kind == "power cut"
        await shed.press("f", *"heat", "space", *"35", "enter")
        assert (screen.hazard.kind, screen.hazard.celsius) == ("heat", 35)
        await shed.press("f", "5", "enter")
        assert screen.hazard.celsius == 5
        await shed.press("escape")
        shed.on_top(WeekScreen)
