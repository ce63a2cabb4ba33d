"""The orders to the door: by customer and in walking order, packed and sent by one key, and what is short."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path

import pytest

from tests.sampled import sampled
from tests.tui.shed import Shed, opened
from tui.screens.dispatch.screen import DispatchScreen
from tui.screens.needs.screen import NeedsScreen

MARCH = date(2027, 3, 1)
ORCHARD = "the Ferrins' orchard"


@asynccontextmanager
async def orders(farm: Path, size: tuple[int, int] = (100, 30)):
    async with opened(farm, MARCH, size) as shed:
        await shed.press("9")
        await shed.worked_out()
        yield shed, shed.on_top(DispatchScreen)


async def to(shed: Shed, screen: DispatchScreen, need: str) -> None:
    await shed.worked_out()
    screen.parcel_list.go_to(need)
    await shed.pilot.pause()


@pytest.mark.parametrize("size", sampled([(80, 24), (120, 40)], 2), ids=str)
async def test_parcels_by_customer_and_in_walking_order(demo: Callable[[date], Path], size: tuple[int, int]):
    async with orders(demo(MARCH), size) as (shed, screen):
        await to(shed, screen, "ORCHARD")
        assert "the Ferrins' orchard" in shed.text
        assert "24 of S1" in shed.text
        assert "ORCHARD is due by 12 Mar" in shed.text
        await shed.press("g")
        places = [row.title for row in screen.parcel_list.rows if row.line is None]
        assert places == sorted(places)
        assert max(map(len, shed.text.splitlines())) <= size[0]


async def test_one_key_packs_and_one_sends_and_undo_has_it_back(demo: Callable[[date], Path]):
    async with orders(demo(MARCH)) as (shed, screen):
        await to(shed, screen, "ORCHARD")
        await shed.press("p")
        await to(shed, screen, "ORCHARD")
        assert [(e.kind, e.data["need"]) for e in shed.entries()] == [("packed", "ORCHARD")]
        assert next(p for p in screen.parcels if p.who == ORCHARD).packed
        assert "[x] 24 of S1" in shed.text
        await shed.press("p")
        await to(shed, screen, "ORCHARD")
        assert not next(p for p in screen.parcels if p.who == ORCHARD).packed
        await shed.press("s")
        await shed.worked_out()
        assert all(p.who != ORCHARD for p in screen.parcels)
        await shed.press("u")
        await shed.worked_out()
        assert any(p.who == ORCHARD for p in screen.parcels)


@pytest.mark.parametrize("size", sampled([(80, 24), (120, 40)], 2), ids=str)
async def test_the_head_says_whole_how_the_parcels_stand_and_the_lines_when_they_may_go(
    demo: Callable[[date], Path], size: tuple[int, int]
):
    async with orders(demo(MARCH), size) as (shed, screen):
        await to(shed, screen, "ORCHARD")
        states = [parcel.state(MARCH) for parcel in screen.parcels]
        for state in set(states):
            assert f"{states.count(state)} {state}" in shed.text
        assert "waiting" in states
        assert " send between 2 Nov and 19 Feb 28" in shed.text


async def test_what_is_short_is_met_by_another_kind_with_the_customers_word_or_raised(demo: Callable[[date], Path]):
    async with orders(demo(MARCH)) as (shed, screen):
        await to(shed, screen, "HEDGE")
        assert "35 short" in shed.text
        await shed.press("b")
        await shed.press("enter", "tab", *"ann", "enter")
        await shed.worked_out()
        hedge = next(p for p in screen.parcels if p.who == "the Long Acre hedge")
        assert len(hedge.lines) == 2
        assert hedge.short < 35
        await shed.press("u")
        await to(shed, screen, "HEDGE")
        await shed.press("r")
        needs = shed.on_top(NeedsScreen)
        await shed.worked_out()
        assert needs.need_list.row is not None
        assert needs.need_list.row.key == "need HEDGE"


async def test_the_week_names_the_parcel_and_enter_opens_it(demo: Callable[[date], Path]):
    async with opened(demo(MARCH), MARCH) as shed:
        assert "send the Ferrins' orchard by 10 Mar: ORCHARD is due by 12 Mar" in shed.text
        await shed.go(f"send {ORCHARD}")
        await shed.press("enter")
        await shed.worked_out()
        screen = shed.on_top(DispatchScreen)
        assert screen.parcel_list.row is not None
        assert screen.parcel_list.row.key == "ORCHARD"
        await shed.press("enter")
        assert "packing list" in shed.text
