"""No key of a screen is dead: each, pressed where it can work, shows, opens or records something, or says why not."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.screen import Screen

from tests.engine.records.farms import STOCK
from tests.sampled import sampled
from tests.tui.farms import TINY, TODAY, write_tiny
from tests.tui.screens.needs.office import FARM, write
from tests.tui.screens.planting.test_screen import ORCHARD
from tests.tui.screens.week.board import COLD, LOOK_Z2, LOOKS, MISSED, SOAK
from tests.tui.shed import Shed, bindings, opened
from tui.lines import Lines
from tui.screen import FarmScreen
from tui.screens.batches.screen import BatchesScreen
from tui.screens.cold.screen import ColdScreen
from tui.screens.dispatch.screen import DispatchScreen
from tui.screens.needs.screen import NeedsScreen
from tui.screens.planting.keys import DEATHS
from tui.screens.planting.screen import PlantingScreen
from tui.screens.site.screen import SiteScreen
from tui.screens.stock.screen import StockScreen
from tui.screens.tonight.screen import TonightScreen
from tui.screens.week.screen import WeekScreen
from tui.screens.year.screen import YearScreen

P1 = "P1|1 L pot||standing ground"
SHARED = [
    ("keys", ""), ("light_or_dark", ""), ("find", ""), ("clear_find", ""),
    ("go_stock", ""), ("go_cold", ""), ("go_batches", ""), ("go_needs", ""), ("go_year", ""), ("go_site", ""),
    ("go_planting", ""), ("go_dispatch", ""), ("go_week", ""),
]  # fmt: skip
"""What every screen has: it is tried on the week."""
PRESSED: dict[type[FarmScreen], list[tuple[str, str]]] = {
    WeekScreen: [
        ("details", LOOKS), ("look_nothing", LOOK_Z2), ("undo", ""), ("redo", ""), ("look_radicles", LOOK_Z2),
        ("undo", ""), ("look_mould", LOOK_Z2), ("look_dry", LOOK_Z2), ("mark", COLD), ("mark", COLD),
        ("done", SOAK), ("count", SOAK), ("mend", SOAK), ("instead", MISSED), ("pot_run", LOOK_Z2),
        ("hold", SOAK), ("later", SOAK), ("accept", MISSED), ("drop", SOAK), ("note", SOAK), ("saw", ""),
        ("tonight", ""), ("spare", ""), ("week_before", ""), ("this_week", ""), ("week_after", ""), ("cover", ""),
        *SHARED, ("quit", ""),
    ],
    StockScreen: [
        ("receive", ""), ("move", P1), ("pot_up", P1), ("grade", P1), ("sell", P1), ("plant_out", P1), ("lose", P1),
        ("count", P1), ("walk", P1), ("doubt", P1), ("yields", ""), ("by", ""), ("trace", P1),
    ],
    ColdScreen: [
        ("look_nothing", "lot Z2"), ("look_radicles", "lot Z2"), ("look_mould", "lot Z2"), ("look_dry", "lot Z2"),
        ("look_dry_through", "lot Z2"), ("done", "lot Z3"), ("count", "lot Z3"),
        ("pot_run", "lot Z2"), ("outage", ""), ("note", "lot Z3"),
        ("details", "lot Z3"),
    ],
    BatchesScreen: [
        ("new_batch", ""), ("edit_batch", "Z1"), ("give_up", "Z1"), ("count", "Z1"), ("note", "Z1"), ("details", "Z1"),
    ],
    NeedsScreen: [
        ("plan_need", "need BIG"), ("new_need", ""), ("edit_need", "need BIG"), ("withdraw_need", "need BIG"),
        ("what_if", "need COME"), ("orders", ""), ("season", ""), ("group_needs", ""), ("details", "need BIG"),
    ],
    YearScreen: [
        ("weeks_back", ""), ("about_now", ""), ("weeks_on", ""), ("level", ""), ("room", ""), ("details", "Z1"),
    ],
    DispatchScreen: [
        ("details", "HAND"), ("pack", "HAND"), ("send", "POTS"), ("fetch", "POTS"), ("substitute", "POTS"),
        ("group_parcels", ""), ("group_parcels", ""), ("replan", "POTS"),
    ],
    TonightScreen: [
        ("place_done", "standing ground\nP1\n1 L pot\nFictus ripensis bankside fig"), ("ask", ""), ("wind", ""),
        ("power_cut", ""),
    ],
    SiteScreen: [
        ("saw", "soil workable 0"), ("details", "soil workable 0"), ("change", ""), ("year_before", ""),
        ("this_year", ""), ("year_after", ""),
    ],
    PlantingScreen: [
        ("walk", "orchard\nR.3"), ("alive", "orchard\nU"), ("bearing", "orchard\nR.1"), ("guard_off", ""),
        ("guard_on", ""), ("note", ""), *((cause, "orchard\nR.2") for cause in DEATHS.values()), ("thinned", ""),
        ("browsed", "orchard\nT"), ("take_over", "orchard\nT"), ("ask_anew", "orchard\nT"), ("works", ""),
        ("year_later", ""), ("year_earlier", ""), ("year_later", ""), ("this_year", ""), ("details", ""),
    ],
}  # fmt: skip

WAYS: dict[type[FarmScreen], list[str]] = {TonightScreen: ["f", "minus", "9", "enter"]}
"""The keys from the week to screens that have none of their own."""


def state(shed: Shed) -> tuple[object, ...]:
    app = shed.app
    return shed.text, len(app.screen_stack), len(shed.entries()), app.theme, app.is_running


async def go_to(shed: Shed, line: str) -> None:
    lines = shed.app.screen.query_one(Lines)
    lines._move(next(n for n, row in enumerate(lines.rows) if line in (row.key, row.key.removeprefix("lot "))))
    await shed.pilot.pause()


def keys_of(screen: type[Screen[None]]) -> dict[str, str]:
    shared = [] if screen is WeekScreen else [binding.id for binding in bindings(FarmScreen)]
    return {binding.id or "": binding.key for binding in bindings(screen) if binding.id not in shared}


@pytest.mark.parametrize("screen", sampled(PRESSED, 2), ids=lambda screen: screen.__name__)
async def test_every_key_does_something(tmp_path: Path, screen: type[FarmScreen]):
    keys = keys_of(screen)
    assert set(keys) == {name for name, _ in PRESSED[screen]}
    farm = write(tmp_path, *FARM) if screen in (NeedsScreen, DispatchScreen) else write_tiny(tmp_path, TINY + STOCK)
    farm = write(tmp_path, *FARM, ORCHARD) if screen is PlantingScreen else farm
    async with opened(farm, TODAY, (100, 40)) as shed:
        goes = {each.id: each.key for each in bindings()}
        place = goes.get(f"go_{screen.__name__.removesuffix('Screen').lower()}")
        await shed.press(*([place] if place else WAYS[screen]))
        await shed.worked_out()
        for name, line in PRESSED[screen]:
            if line:
                await go_to(shed, line)
            before = state(shed)
            await shed.press(keys[name])
            await shed.pilot.pause()
            assert state(shed) != before, name
            while shed.app.is_running and not isinstance(shed.app.screen, FarmScreen):
                await shed.press("escape")
