"""The year screen: the scale over the lots, what each line shows, and its keys."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from rich.cells import cell_len

from engine.reading.frozen import replace
from engine.views.year import WEEKS, Year, year_view
from tests.sampled import sampled
from tests.tui.conftest import Call
from tests.tui.farms import TINY, TODAY, open_house, write_tiny
from tests.tui.shed import Shed, in_turn, opened
from tui.facts import Facts
from tui.forms.choice import ChoiceScreen
from tui.forms.page import PageScreen
from tui.screens.year.facts import facts_of
from tui.screens.year.rows import YearList
from tui.screens.year.screen import YearScreen
from tui.strips.year_weeks import AIM, DONE, LIMIT, MAY, lot_line, scale, scale_rows, strip

SPRING = date(2027, 4, 6)


def seen(path: Path, on: date) -> Year:
    house = open_house(path)
    return year_view(house.day(on))


async def year(shed: Shed) -> YearScreen:
    await shed.press("6")
    screen = shed.on_top(YearScreen)
    await shed.pilot.pause()
    return screen


@pytest.mark.parametrize("width", [79, 119])
def test_each_act_stands_in_its_week_and_the_scale_stands_over_the_weeks(demo_of: Callable[[date], Path], width: int):
    found = seen(demo_of(SPRING), SPRING)
    assert len(found.lines) > 15
    for line in found.lines:
        cells = strip(found, line)
        assert len(cells) == WEEKS
        drawn = {week: DONE if act.done else AIM for act in line.acts if (week := found.week_of(act.day)) is not None}
        assert {n: cell for n, cell in enumerate(cells) if cell in (DONE, AIM)} == drawn
        for n, cell in enumerate(cells):
            if cell == MAY:
                week = found.weeks[n]
                assert any(a.earliest <= week.end and a.latest >= week.start for a in line.acts if not a.done)
        told = lot_line(found, line, width)
        assert cell_len(told) == width
        assert line.line.lot.id in told
        assert told.endswith(cells)
    above = scale(found, width)
    assert {cell_len(each) for each in above} == {width}
    here = found.week_of(SPRING)
    assert here is not None
    assert above[1][width - WEEKS + here] == "▼"


def test_the_months_stand_where_they_begin(demo_of: Callable[[date], Path]):
    found = seen(demo_of(SPRING), SPRING)
    cells = scale(found, 79)[0][-WEEKS:]
    months = [(n, cell) for n, cell in enumerate(cells) if cell != " "][1:]
    for n, letter in months:
        week = found.weeks[n]
        first = date(week.end.year, week.end.month, 1)
        assert week.start <= first <= week.end
        assert letter == f"{first:%B}"[0]
    assert len(months) in (11, 12)


def test_a_week_without_a_limit_is_drawn_by_the_others_and_passes_no_line(tiny: Path):
    """1 and 4 hours of twenty, of a month that has a limit and of one that has none."""
    year = seen(tiny, TODAY)
    hours = [(1.0, None), (4.0, None), (1.0, 20.0), (4.0, 20.0)]
    weeks = tuple(replace(week, hours=h, hours_available=a) for week, (h, a) in zip(year.weeks, hours, strict=False))
    limit, load = scale_rows(replace(year, weeks=weeks))[-2:]
    assert limit.cells == "  " + LIMIT * 2
    assert load.cells[:2] == load.cells[2:]


def test_the_lower_row_of_hours_is_full_where_all_hours_are_asked_for(demo_of: Callable[[date], Path]):
    found = seen(demo_of(SPRING), SPRING)
    above, below = (row[-WEEKS:] for row in scale(found, 79)[-2:])
    for n, week in enumerate(found.weeks):
        assert week.hours_available
        share = week.hours / week.hours_available
        if share > 1.1:
            assert (below[n], above[n] != LIMIT) == ("█", True)
        if share < 0.9:
            assert above[n] == LIMIT  # the limit is a line
        assert (below[n] == " ") == (week.hours == 0)


@pytest.mark.parametrize(
    ("room", "told"), [(26, "hours, 131 h 05 on 12 Apr"), (24, "hours, 131 on 12 Apr"), (12, "hours")]
)
def test_no_label_of_the_scale_is_cut_off(tiny: Path, room: int, told: str):
    year = seen(tiny, TODAY)
    weeks = [replace(week, hours=1.0, hours_available=10.5 + n % 2) for n, week in enumerate(year.weeks)]
    weeks[20] = replace(weeks[20], start=date(2027, 4, 12), hours=131 + 5 / 60)
    rows = scale_rows(replace(year, weeks=tuple(weeks)))
    assert rows[-1].named(room) == told
    for row in rows:
        assert row.named(room) in ("", row.label, row.short, row.label.split(" ")[0].rstrip(",")), row
        assert len(row.named(room)) <= room
    assert not any("…" in line for line in scale(replace(year, weeks=tuple(weeks)), 80))


async def left_and_right_move_four_weeks_and_w_comes_back(shed: Shed) -> None:
    screen = await year(shed)
    assert screen.year is not None
    begins = screen.year.weeks[0].start
    await shed.press("right", "right", "left")
    assert screen.year.weeks[0].start == begins + timedelta(28)
    await shed.press("w")
    assert screen.year.weeks[0].start == begins


async def the_facts_tell_the_acts_and_enter_opens_the_lots_life(shed: Shed) -> None:
    screen = await year(shed)
    lots = {row.line.line.lot.id for row in screen.query_one(YearList).rows}
    assert {"Z1", "Z2", "Z3"} <= lots
    screen.board.go_to("lot Z2")
    await shed.pilot.pause()
    facts = screen.query_one(Facts).told
    assert "do: sow: later" in facts
    signs = {row.line.line.lot.id: screen.board.text(row, 80)[0] for row in screen.board.rows}
    states = {row.line.line.lot.id: row.line.line.state for row in screen.board.rows}
    assert {signs[lot] for lot, state in states.items() if state == "missed"} == {"x"}  # not by colour alone
    assert {signs[lot] for lot, state in states.items() if state in ("later", "coming", "not yet")} == {" "}
    assert "done: soak 4 Jan, stratify cold 4 Jan" in facts
    assert "sow 1 Apr, at the latest 4 Apr" in facts
    await shed.press("enter")
    shed.on_top(PageScreen)


FULL = TINY.replace("hours_per_week = 10", "hours_per_week = 2")
"""Three lots to be soaked this week, 2.4 hours of it, and half an hour of sweeping, where there are two."""


async def test_l_asks_before_it_puts_off_what_is_too_much_and_one_u_takes_all_back(tmp_path: Path):
    async with opened(write_tiny(tmp_path, FULL, history=False)) as shed:
        screen = await year(shed)
        assert screen.year is not None
        assert "too full" in shed.text
        await shed.press("l")
        await shed.app.workers.wait_for_complete()
        await shed.pilot.pause()
        question = shed.on_top(ChoiceScreen)
        assert "Level the weeks" in shed.text
        assert shed.entries() == []
        question.dismiss("put off")
        await shed.pilot.pause()
        kinds = {entry.kind for entry in shed.entries()}
        assert kinds == {"later"}
        assert "put off" in shed.text
        now = screen.year.week_of(TODAY)
        assert now is not None
        assert not screen.year.weeks[now].over
        await shed.press("u")
        assert screen.year.weeks[now].over


async def l_says_where_nothing_is_too_full(shed: Shed) -> None:
    screen = await year(shed)
    await shed.press("l")
    await shed.app.workers.wait_for_complete()
    await shed.pilot.pause()
    assert shed.app.screen is screen
    assert "no week is too full" in shed.text


async def find_keeps_the_lots_that_are_meant(shed: Shed) -> None:
    screen = await year(shed)
    screen.find("z3", keep=True)
    assert [row.line.line.lot.id for row in screen.board.rows] == ["Z3"]
    screen.find("no such thing", keep=True)
    await shed.pilot.pause()
    assert screen.query_one(Facts).told.startswith("No lot")


async def r_opens_the_room_of_the_places_and_any_key_of_a_page_leaves_it(shed: Shed) -> None:
    await year(shed)
    await shed.press("r")
    shed.on_top(PageScreen)
    assert "Room by place" in shed.text
    await shed.press("q")
    shed.on_top(YearScreen)


async def test_what_the_year_shows(tiny: Path):
    async with opened(tiny) as shed:
        await in_turn(
            shed,
            left_and_right_move_four_weeks_and_w_comes_back,
            the_facts_tell_the_acts_and_enter_opens_the_lots_life,
            l_says_where_nothing_is_too_full,
            find_keeps_the_lots_that_are_meant,
            r_opens_the_room_of_the_places_and_any_key_of_a_page_leaves_it,
        )


@pytest.mark.parametrize("on", sampled([SPRING, date(2027, 1, 19), date(2027, 10, 12)], 3), ids=str)
def test_the_printed_year_fits_80_columns(call: Call, demo_of: Callable[[date], Path], on: date):
    status, out, _ = call("year", demo_of(on), "--on", on)
    assert status == 0
    assert all(cell_len(line) <= 80 for line in out.splitlines())
    assert len(out.splitlines()) > 25


def test_the_years_figures(call: Call, tiny: Path):
    data = json.loads(call("year", tiny, "--on", TODAY, "--json")[1])
    assert len(data["weeks"]) == WEEKS
    assert set(data["weeks"][0]) == {"start", "day_length_minutes", "frost_chance", "hours", "hours_available"}
    acts = {lot["lot"]: lot["acts"] for lot in data["lots"]}
    assert acts["Z2"][0] == {
        "step": "soak", "day": "2027-01-04", "done": True, "earliest": "2027-01-04", "latest": "2027-01-04",
    }  # fmt: skip


def test_level_prints_what_to_put_off_and_records_nothing(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path, FULL, history=False)
    status, out, _ = call("level", farm, "--on", TODAY)
    assert status == 0
    assert "fullest week now: that of 18 Jan, " in out
    data = json.loads(call("level", farm, "--on", TODAY, "--json")[1])
    now, then = (sum(week[key] for week in data["weeks"]) for key in ("hours", "then"))
    assert now == pytest.approx(then, abs=0.5)  # a look or two more or less
    assert all(each["from"] < each["to"] for each in data["put_off"])
    assert data["put_off"]
    assert open_house(farm).entries == ()
    assert "Nothing needs to be put off" in call("level", write_tiny(tmp_path), "--on", TODAY)[1]


def test_the_facts_say_of_what_is_overdue_since_when(demo: Callable[[date], Path]):
    on = date(2027, 4, 2)
    found = seen(demo(on), on)
    late = [(line, act) for line in found.lines for act in line.acts if not act.done and act.latest < min(on, act.day)]
    assert late
    for line, act in late:
        told = facts_of(line, found).plain
        assert f"{act.step} {act.day.day} {act.day:%b}, overdue since {act.latest.day} {act.latest:%b}" in told
        assert f"{act.step} {act.day.day} {act.day:%b}, may be done" not in told
