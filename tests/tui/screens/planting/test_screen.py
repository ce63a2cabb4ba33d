"""The plantings: drawn to scale with north up, crowns by year, the walk with one key each, and what now."""

from __future__ import annotations

from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path

import pytest

from engine.farm.reading import read_farm
from engine.needs.planting_outlook import grown_of
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.views.planting import planting_view
from tests.engine.schedule.farms import NORTH
from tests.sampled import sampled
from tests.tui.shed import bindings, opened
from tui.screens.planting.facts import chances
from tui.screens.planting.keys import DEATHS
from tui.screens.planting.screen import PlantingScreen
from tui.strips.planting_map import planting_map

TODAY = date(2030, 7, 1)
ORCHARD = """
[[planting]]
name = "orchard"
planted = 2020-11-20
[[planting.position]]
id = "T"
species = "Juglans regia"
at_m = [0.0, 20.0]
understudies = [{species = "Corylus avellana", at_m = [0.0, 28.0], id = "U"}]
[[planting.position]]
id = "R"
species = "Corylus avellana"
at_m = [10.0, 0.0]
count = 3
spacing_m = 5
[[planting]]
name = "far"
by = 2031-03-01
[[planting.position]]
species = "Corylus avellana"
"""


@asynccontextmanager
async def orchard(tmp_path: Path, size: tuple[int, int] = (100, 30)):
    path = tmp_path / "orchard.toml"
    path.write_text(NORTH + ORCHARD, encoding="utf-8")
    async with opened(path, TODAY, size) as shed:
        await shed.press("8")
        yield shed, shed.on_top(PlantingScreen)


def states(screen: PlantingScreen) -> dict[str, str]:
    assert screen.view is not None
    return {line.plant.id: line.state for line in screen.view.lines}


async def test_the_map_has_north_up_and_east_to_the_right_and_says_where_there_is_none(tmp_path: Path):
    async with orchard(tmp_path) as (shed, screen):
        assert screen.view is not None
        lines = planting_map(screen.view, 0, 60, 20, screen.view.lines[0].k)
        at = {
            sign: [(x, y) for y, line in enumerate(lines[:-1]) for x, c in enumerate(line) if c == sign]
            for sign in "@·"
        }
        [(tree_x, tree_y)] = at["@"]
        others = sorted(at["·"], key=lambda spot: spot[1])
        assert len(others) == 4
        assert others[0][1] < tree_y  # the understudy stands north of it
        assert abs(others[0][0] - tree_x) <= 1
        assert all(x > tree_x and y > tree_y for x, y in others[1:])  # the row lies south and east
        xs = sorted(x for x, _ in others[1:])
        assert abs((xs[2] - xs[1]) - (xs[1] - xs[0])) <= 1
        # Twice as high as wide: 8 m north are as many lines as 5 m east are letters, times 8 / 5 / 2.
        assert (tree_y - others[0][1]) == pytest.approx((xs[1] - xs[0]) * 8 / 5 / 2, abs=1.1)
        await shed.press("end")
        assert "at_m says where" in shed.text


@pytest.mark.parametrize("size", sampled([(60, 18), (80, 24)], 2), ids=str)
async def test_the_ids_of_the_plants_stand_whole_in_a_narrow_window(tmp_path: Path, size: tuple[int, int]):
    path = tmp_path / "orchard.toml"
    path.write_text(NORTH + ORCHARD.replace('"U"', '"terrace-west.1"').replace('"R"', '"row-north"'), encoding="utf-8")
    async with opened(path, TODAY, size) as shed:
        await shed.press("8")
        plants = shed.on_top(PlantingScreen).plants
        said = {row.plant.id: plants.text(row, plants.size.width) for row in plants.rows if row.plant}
        assert {"terrace-west.1", "row-north.1", "row-north.3"} <= set(said)
        assert [id_ for id_, text in said.items() if id_ not in text.split()] == []


async def test_crowns_widen_with_the_years_and_the_keys_turn_them(tmp_path: Path):
    async with orchard(tmp_path) as (shed, screen):
        assert screen.view is not None
        wide = [sum(line.count("▓") for line in planting_map(screen.view, year, 60, 20, None)) for year in (1, 10, 30)]
        assert wide[0] < wide[1] < wide[2]
        assert screen.year_shown(screen.view) == 10
        await shed.press("right", "right", "left")
        assert screen.year_shown(screen.view) == 11
        assert "year 11, 2031" in shed.text
        await shed.press("c")
        assert "year 10, 2030" in shed.text


@pytest.mark.parametrize("size", sampled([(80, 24), (120, 40)], 2), ids=str)
async def test_list_and_map_stand_side_by_side(tmp_path: Path, size: tuple[int, int]):
    async with orchard(tmp_path, size) as (shed, _):
        lines = shed.text.splitlines()
        assert len(lines) <= size[1]
        assert max(map(len, lines)) <= size[0]
        for word in ("orchard", "English walnut", "understudy", "N up", " of sun on the longest"):
            assert word in shed.text


async def test_a_walk_takes_one_key_a_plant_and_goes_on_where_it_stopped(tmp_path: Path):
    async with orchard(tmp_path) as (shed, screen):
        await shed.press("a", "i", "b")
        assert states(screen) == {"T": "alive", "U": "dead", "R.1": "bearing", "R.2": "alive", "R.3": "alive"}
        assert screen.line is not None
        assert screen.line.plant.id == "R.2"
        await shed.press("home", "w")
        assert screen.line.plant.id == "R.2"
        assert "2 of 5 still to see" in shed.text
        await shed.press("a", "d")
        assert states(screen)["R.3"] == "dead"
        assert "seen them all" in shed.text
        await shed.press("w")
        assert "has seen every plant" in shed.text
        await shed.press("u")
        assert states(screen)["R.3"] == "alive"


async def test_every_cause_has_its_key(tmp_path: Path):
    async with orchard(tmp_path) as (shed, screen):
        for key, cause in DEATHS.items():
            await shed.press("home", key)
            assert screen.view is not None
            assert (screen.view.lines[0].state, screen.view.lines[0].life.cause) == ("dead", cause)
            await shed.press("u")
            assert states(screen)["T"] != "dead", key


async def test_guards_and_notes_leave_the_cursor_where_it_is(tmp_path: Path):
    async with orchard(tmp_path) as (shed, screen):
        await shed.press("o")
        assert screen.line is not None
        assert (screen.line.plant.id, screen.line.life.guard) == ("T", False)
        await shed.press("t", *"bent", "enter")
        assert [words for _, words in screen.line.life.notes] == ["bent"]


async def test_an_understudy_takes_the_place_by_one_key(tmp_path: Path):
    async with orchard(tmp_path) as (shed, screen):
        await shed.press("f", "a", "home", "p")
        assert screen.view is not None
        line = screen.view.line("U")
        assert line is not None
        assert line.leads
        await shed.press("p")
        assert "it has no living understudy" in shed.text


async def test_a_new_one_is_asked_for_and_stands_among_the_needs(tmp_path: Path):
    async with orchard(tmp_path) as (shed, _):
        await shed.press("n")
        assert "no new plant is wanted" in shed.text
        await shed.press("r", "home", "n")
        [need] = [need for need in shed.app.house.farm.needs if need.who == "orchard"]
        assert (need.species, need.count) == ("Juglans regia", 1)
        assert need.by is not None
        assert need.by > TODAY
        assert need.id in shed.text or "is asked for by" in shed.text


async def test_what_now_is_told_when_the_cursor_rests(tmp_path: Path):
    async with orchard(tmp_path) as (shed, screen):
        await shed.press("f", "a", "home")
        screen._think()
        await shed.worked_out()
        assert "U, hazel, alive, may take its place" in shed.text.replace("\n", " ")


async def test_the_page_tells_its_life_and_light(tmp_path: Path):
    async with orchard(tmp_path) as (shed, _):
        await shed.press("b", "home", "enter")
        for words in ("1 Jul 30: bearing", "SUN, hours", "year 20, 2040", "CHANCE that it bears"):
            assert words in shed.text


async def test_where_its_day_cannot_be_read_its_chance_to_bear_is_not_known(tmp_path: Path):
    path = tmp_path / "orchard.toml"
    path.write_text(NORTH + ORCHARD.replace("planted = 2020-11-20", 'planted = "long ago"'), encoding="utf-8")
    reading = read_farm(path)
    assert [problem.message for problem in reading.problems] == ['planted is a date, not "long ago"']
    assert reading.farm is not None
    nursery = open_nursery(reading.farm, apply(reading.farm, ()))
    view = planting_view(nursery, reading.farm.plantings[0], TODAY, grown_of(reading.farm, nursery.records))
    assert {line.bears(2040) for line in view.lines} == {None}
    crops = [line for line in view.lines if line.plant.purpose == "crop"]
    assert {told for line in crops for told in chances(view, line)} == {"chance to bear: not known"}


def test_the_keys_are_all_told():
    assert all(binding.description for binding in bindings(PlantingScreen))


async def test_its_care_stands_in_the_week_and_one_key_does_it(tmp_path: Path):
    path = tmp_path / "orchard.toml"
    path.write_text(NORTH + ORCHARD.replace("planted = 2020", "planted = 2028"), encoding="utf-8")
    async with opened(path, TODAY) as shed:
        await shed.go("standing  first pruning in leaf orchard")
        assert "1 English walnut" in shed.text
        assert "bleed" in shed.text
        await shed.press("d")
        assert [(e.kind, dict(e.data)) for e in shed.entries()] == [
            ("worked", {"do": "first pruning in leaf", "place": "orchard"})
        ]
        assert shed.row("standing  first pruning in leaf orchard").state == "done"
        await shed.press("u")
        assert shed.row("standing  first pruning in leaf orchard").state == "open"
