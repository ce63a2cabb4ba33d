"""Room by place and week as it is printed, as figures, on the year's page, and where a batch is planned."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len

from engine.protocols.room import UNITS
from engine.views.room import WEEKS, room_view
from tests.engine.needs.homes import CUTTINGS, PLACES, SEED, batch, need
from tests.engine.schedule.farms import NORTH
from tests.tui.conftest import Call
from tests.tui.farms import open_house
from tests.tui.screens.needs.office import to_office, write
from tests.tui.shed import opened
from tui.forms.page import PageScreen
from tui.paper.room import LEVELS, OVER, room_lines
from tui.screens.batches.form import BatchForm
from tui.screens.needs.shortfall import PlanScreen
from tui.screens.year.screen import YearScreen

TODAY = date(2027, 1, 10)
SPRING = date(2027, 4, 6)
BED = PLACES.replace('name = "bed"\n', 'name = "bed"\nroom = "30 m of row"\n')
ROOMY = CUTTINGS.replace('do = "stick"\n', 'do = "stick"\nroom = "10 a metre of row"\n')


@pytest.fixture(name="full")
def _full(tmp_path: Path) -> Path:
    """Two lots stand 35 m long in a bed of 30 from 1 March on, and a need for 90 more is open."""
    parts = (batch("A", 200), batch("B", 150), need("BIG", 330, by="2027-12-31", sure=0.8))
    return write(tmp_path, NORTH, BED, ROOMY, SEED, *parts)


def test_the_printed_room_tells_what_each_place_holds_and_which_weeks_are_too_full(call: Call, full: Path):
    status, out, _ = call("room", full, "--on", TODAY)
    assert status == 0
    assert "fullest 35 of 30 m of row, week of 1 Mar, by A, B; too full: 1 Mar to 25 Oct" in " ".join(out.split())
    strip = next(line for line in out.splitlines() if line.startswith("bed, m of row"))
    assert strip.count(OVER) == 35


@pytest.mark.parametrize("on", [date(2027, 1, 19), SPRING, date(2027, 10, 12)], ids=str)
def test_the_printed_room_fits_80_columns(call: Call, demo_of: Callable[[date], Path], on: date):
    status, out, _ = call("room", demo_of(on), "--on", on)
    assert status == 0
    assert all(cell_len(line) <= 80 for line in out.splitlines())
    for words in ("cold store, litres", "mist bench, trays", "nursery beds, m of row", "fullest", "no room given"):
        assert words in out


def test_a_farm_without_lots_says_so_and_how_room_is_given(call: Call, tmp_path: Path):
    status, out, _ = call("room", write(tmp_path, NORTH), "--on", TODAY)
    assert status == 0
    assert "No lot under way takes up a known amount" in out
    assert 'room = "40 trays"' in " ".join(out.split())


def test_the_figures_of_room(call: Call, full: Path):
    data = json.loads(call("room", full, "--on", TODAY, "--json")[1])
    assert len(data["weeks"]) == WEEKS
    [bed] = [each for each in data["places"] if each["place"] == "bed"]
    assert (bed["unit"], bed["holds"], bed["fullest"]) == ("metre of row", 30, "2027-03-01")
    at = data["weeks"].index("2027-03-01")
    assert (bed["load"][at], bed["lots"][at], bed["load"][at - 1]) == (35, ["A", "B"], 0)
    assert (bed["too_full"][0], bed["too_full"][-1]) == ("2027-03-01", "2027-10-25")


def test_the_strip_rises_with_the_load(demo_of: Callable[[date], Path]):
    house = open_house(demo_of(SPRING))
    rooms = room_view(house.farm, house.plans(SPRING), SPRING)
    lines = room_lines(rooms, 80)
    for line in rooms.lines:
        label = f"{line.place}, {UNITS[line.unit][0]} "
        cells = next(told for told in lines if told.startswith(label)).ljust(80)[80 - WEEKS :]
        full = line.holds or max(line.load)
        for n, load in enumerate(line.load):
            if not load:
                assert cells[n] == " "
            elif n in line.over:
                assert cells[n] == OVER
            else:
                assert LEVELS.index(cells[n]) == min(7, int(load / full * 8))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
async def test_r_on_the_year_opens_a_page_whose_lines_stand_whole(full: Path, size: tuple[int, int]):
    async with opened(full, TODAY, size=size) as shed:
        await shed.press("6")
        await shed.pilot.pause()
        await shed.press("r")
        shed.on_top(PageScreen)
        assert "Room by place" in shed.text
        assert "fullest 35 of 30 m of row, week of 1 Mar, by A, B; too full:" in shed.text
        assert OVER * 35 in shed.text
        await shed.press("escape")
        shed.on_top(YearScreen)


def test_the_ways_tell_their_room_and_what_they_would_overfill(call: Call, full: Path):
    out = " ".join(call("ways", full, "Arbor ficta", "90", "--by", "2027-12-31", "--on", TODAY)[1].split())
    assert "room: bed " in out
    assert "bed too full: " in out
    args = ("ways", full, "Arbor ficta", "90", "--by", "2027-12-31", "--on", TODAY, "--json")
    way = next(w for w in json.loads(call(*args)[1])["ways"] if w["method"] == "hardwood cutting")
    [room] = way["room"]
    assert (room["place"], room["unit"], room["from"]) == ("bed", "metre of row", "2027-03-01")
    assert room["amount"] == pytest.approx(way["takes"] / 10)
    assert len(way["too_full"]) == 1


async def test_the_plan_of_a_need_tells_it_under_the_list(full: Path):
    async with opened(full, TODAY) as shed:
        office = await to_office(shed)
        await office.plan("need BIG")
        shed.on_top(PlanScreen)
        await shed.press("down")
        assert "room: bed " in shed.text
        assert "bed too full: " in shed.text


async def test_the_form_of_a_batch_tells_it_below_the_ways(full: Path):
    async with opened(full, TODAY) as shed:
        await shed.press("4", "b")
        form = shed.on_top(BatchForm)
        form.query_one("#species").value = "Arbor ficta"  # type: ignore[attr-defined]
        form.query_one("#count").value = "100"  # type: ignore[attr-defined]
        await shed.pilot.pause()
        form.work_out()
        await shed.pilot.pause()
        way = next(row for row in form.ways.rows if row.way.protocol.method == "hardwood cutting")
        form.ways.go_to(way.key)
        await shed.pilot.pause()
        assert "room: bed 10 m of row" in shed.text
        assert "! bed too full: 45 of 30 m of row" in shed.text
