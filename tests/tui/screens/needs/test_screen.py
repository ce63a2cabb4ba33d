"""The needs screen: how each need stands, what its keys open, and how it looks."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.widgets import Input, Label, OptionList, Static

from engine.farm.stock import Need
from engine.needs.need_lines import NeedLine
from tests.engine.needs.homes import CUTTINGS, PLACES, batch, need
from tests.engine.schedule.farms import NORTH
from tests.sampled import sampled
from tests.tui.screens.needs.office import FARM, TODAY, WITH_MISSED, to_office, write
from tests.tui.screens.test_colours import poor
from tests.tui.shed import Shed, bindings, explained, in_turn, opened
from tui.facts import GUTTER, Facts
from tui.forms.choice import ChoiceScreen
from tui.screens.needs.facts import WORKING
from tui.screens.needs.form import NeedForm
from tui.screens.needs.screen import NeedsScreen
from tui.screens.needs.shortfall import PlanScreen
from tui.strips.covered import LACKING, LIKELY, THERE, covered_strip


@pytest.fixture(name="home")
def _home(tmp_path: Path) -> Path:
    return write(tmp_path, *FARM)


# -- what it shows


async def every_need_has_its_word_its_signs_and_what_is_short_stands_first_in_its_season(shed: Shed) -> None:
    office = await to_office(shed)
    assert office.states["HAND"] == "covered"
    assert office.states["COME"] == "coming"
    assert office.states["POTS"] == "short 50"
    big = int(office.states["BIG"].removeprefix("short "))
    assert 250 < big < 400
    seasons = ["winter 2026-27", "spring 2027", "winter 2027-28", "winter 2028-29", "autumn 2029"]
    assert list(office.groups) == seasons
    assert office.here == "need POTS"
    assert f"{THERE * 8} " in office.painted("need HAND")
    assert LIKELY * 8 in office.painted("need COME")
    assert LACKING * 8 in office.painted("need POTS")
    assert "6 needs: 4 short, 1 coming, 1 covered" in office.head
    for row in office.list.rows:
        for width in (40, 79, 100):
            assert cell_len(office.list.text(row, width)) == width


def line(met: int, hand: int, come: int, count: int) -> NeedLine:
    return NeedLine(Need("N", "Arbor ficta", "", "", count, None), "fictive tree", met, hand, come)


@pytest.mark.parametrize(
    ("parts", "signs"),
    [
        ((0, 0, 0, 10), LACKING * 8),
        ((5, 5, 0, 10), THERE * 8),
        ((0, 5, 0, 10), THERE * 4 + LACKING * 4),
        ((0, 1, 998, 1000), THERE + LIKELY * 6 + LACKING),
        ((0, 997, 1, 999), THERE * 6 + LIKELY + LACKING),
        ((12, 0, 0, 10), THERE * 8),
    ],
)
def test_the_signs_show_any_part_however_small(parts: tuple[int, int, int, int], signs: str):
    assert covered_strip(line(*parts)) == signs


async def the_facts_tell_what_covers_a_need_and_for_a_short_one_the_ways_that_still_meet_it(shed: Shed) -> None:
    await shed.resize((120, 40))
    office = await to_office(shed)
    await office.go("need HAND")
    assert "30 of S1, on hand, bed" in office.facts
    await office.go("need COME")
    assert "60 of B, ready 1 Nov 27 as bare root" in office.facts
    await office.go("need BIG")
    assert WORKING in office.facts
    await shed.worked_out()
    assert WORKING not in office.facts
    assert "· hardwood cutting: stick by 31 Mar 28" in office.facts
    assert "· in two: " in office.facts
    await office.go("need POTS")
    await shed.worked_out()
    assert "they can't be raised in time" in office.facts


async def for_a_plantings_need_the_odds_by_year_stand_alone_and_with_the_understudies(shed: Shed) -> None:
    await shed.resize((120, 40))
    office = await to_office(shed)
    await office.go("need hedge 2")
    assert "odds: hedge: chance that a plant bears, in %" in office.facts
    assert "understudies: hazel" in office.facts
    await office.press("enter")
    await office.settle()
    assert "HEDGE, by 20 Nov 29" in office.page()


async def test_the_odds_by_year_fit_the_panel_beside_the_list_without_a_break(demo_of):
    day = date(2026, 12, 14)
    async with opened(demo_of(day), day, (120, 40)) as shed:
        office = await to_office(shed)
        await office.go("need the wind belt 1")
        width = office.screen.query_one(Facts).scrollable_content_region.width
        tables = [told for told in office.facts.splitlines() if told.startswith(("year", "alone", "with them"))]
        assert len(tables) == 3
        assert max(map(cell_len, tables)) <= width - GUTTER


async def test_a_missed_lot_stands_on_top_with_the_needs_it_leaves_short(tmp_path: Path):
    async with opened(write(tmp_path, *WITH_MISSED), TODAY) as shed:
        office = await to_office(shed)
        assert "! 1 lot in trouble" in office.head
        assert office.here == "lot OLD"
        assert "missed its window to stick" in office.painted("lot OLD")
        assert "BIG" in office.painted("lot OLD")
        assert "POTS" not in office.facts  # it was never to be pots
        assert "ready 1 Nov 27; it counts again when that is accepted" in office.facts
        await office.press("enter")
        await office.settle()
        assert "hardwood cutting" in office.page()
        assert "BIG" in office.page()


async def test_a_need_whose_day_has_passed_says_so(home: Path):
    async with opened(home, date(2027, 4, 2)) as shed:
        office = await to_office(shed)
        assert office.groups["overdue"] == ["POTS", "HAND"]
        await office.go("need HAND")
        assert "! its day has passed" in office.facts
        assert "2 overdue" in office.head


async def test_a_farm_that_needs_nothing_says_how_to_begin(tmp_path: Path):
    async with opened(write(tmp_path, NORTH, PLACES, CUTTINGS), TODAY) as shed:
        office = await to_office(shed)
        assert "nothing is needed" in office.head
        assert "b begins a need" in office.facts
        for key in ("p", "e", "x", "f", "enter"):
            await office.press(key)
            shed.on_top(NeedsScreen)


async def g_groups_by_whom_and_the_cursor_stays_on_its_need(shed: Shed) -> None:
    office = await to_office(shed)
    await office.go("need COME")
    await office.press("g")
    assert office.groups["Hale"] == ["BIG", "COME"]
    assert office.here == "need COME"
    assert "by whom" in office.head
    await office.press("g")
    assert "spring 2027" in office.groups


async def needs_are_found_by_plant_id_whom_form_and_state(shed: Shed) -> None:
    by_words = {
        "hale": {"BIG", "COME"},
        "big": {"BIG"},
        "short": {"POTS", "BIG", "hedge 1", "hedge 2"},
        "covered": {"HAND"},
        "pot": {"POTS"},
        "hazel": {"hedge 2"},
        "Arbor": {"HAND", "COME", "POTS", "BIG", "hedge 1"},
        "[/]": set(),
    }
    office = await to_office(shed)
    for words, found in by_words.items():
        office.screen.find(words)
        assert set(office.states) == found, words
    await shed.pilot.pause()
    assert "Esc shows all" in office.facts


# -- what is opened


async def test_enter_opens_what_covers_a_need_and_every_way_those_that_cannot_be_too(home: Path):
    async with opened(home, TODAY, (100, 40)) as shed:
        office = await to_office(shed)
        await office.go("need HAND")
        await office.press("enter")
        assert "30 of S1, on hand" in office.page()
        await office.press("escape")
        await office.go("need POTS")
        await office.press("enter")
        await office.settle()
        assert "it gives bare-root plants, not pots" in office.page()


async def f_tells_what_falls_short_should_a_lot_be_lost_and_what_still_meets_it(shed: Shed) -> None:
    await shed.resize((100, 40))
    office = await to_office(shed)
    await office.go("need COME")
    await office.press("f")
    await office.settle()
    page = office.page()
    assert "if B is lost" in page
    assert "COME" in page
    assert "seed\n" in page  # sown in spring it is there in time; cuttings stuck in March are too
    assert "60 more than with it" in page
    await office.press("escape")
    await office.go("need POTS")
    await office.press("f")
    assert "no lot covers it" in office.foot


async def test_f_asks_which_lot_where_several_cover_a_need(tmp_path: Path):
    home = write(tmp_path, *FARM[:6], batch("C", 150), need("BOTH", 200, by="2027-12-31", sure=0.8))
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await office.press("f")
        shed.on_top(ChoiceScreen)
        names = [option.id for option in shed.app.screen.query_one(OptionList).options]
        assert set(names) == {"S1", "B", "C"}
        await office.press(*["down"] * names.index("C"), "enter")
        await office.settle()
        assert "if C is lost" in office.page()


async def test_o_lists_what_is_to_be_ordered(demo_of):
    day = date(2027, 1, 19)
    async with opened(demo_of(day), day) as shed:
        office = await to_office(shed)
        await office.press("o")
        await office.settle()
        assert "to buy, on 19 Jan 2027" in office.page()
        assert "POTS: 239" in office.page()
        assert "medlar Nottingham: 40 to order" in office.page()


# -- keys and looks


async def every_key_of_the_needs_stands_on_the_page_of_keys(shed: Shed) -> None:
    await shed.resize((120, 50))
    office = await to_office(shed)
    await office.press("question_mark")
    for binding in bindings(NeedsScreen):
        assert explained(shed.text, binding)
    assert f"{THERE} sent or there" in shed.text


async def test_what_the_needs_show(home: Path):
    async with opened(home, TODAY) as shed:
        await in_turn(
            shed,
            every_need_has_its_word_its_signs_and_what_is_short_stands_first_in_its_season,
            the_facts_tell_what_covers_a_need_and_for_a_short_one_the_ways_that_still_meet_it,
            for_a_plantings_need_the_odds_by_year_stand_alone_and_with_the_understudies,
            g_groups_by_whom_and_the_cursor_stays_on_its_need,
            needs_are_found_by_plant_id_whom_form_and_state,
            f_tells_what_falls_short_should_a_lot_be_lost_and_what_still_meets_it,
            every_key_of_the_needs_stands_on_the_page_of_keys,
        )


@pytest.mark.parametrize("theme", sampled(["light", "dark"], 2))
async def test_every_word_stands_out_from_its_ground(tmp_path: Path, theme: str, monkeypatch):
    monkeypatch.setenv("WIDGER_THEME", theme)
    async with opened(write(tmp_path, *WITH_MISSED), TODAY) as shed:
        office = await to_office(shed)
        for strip_ in shed.app.screen._compositor.render_strips():
            assert poor(list(strip_)) == []
        await office.plan("need BIG")
        plan = shed.on_top(PlanScreen)
        for widget in (*plan.query(Label), *plan.query(Static), plan.list):
            assert [found for y in range(widget.size.height) for found in poor(list(widget.render_line(y)))] == []
        await office.press("escape", "b")
        form = shed.on_top(NeedForm)
        for field in (*form.query(Input), *form.query(Label), *form.query(Static)):
            assert [found for y in range(field.size.height) for found in poor(list(field.render_line(y)))] == []


@pytest.mark.parametrize("size", sampled([(60, 20), (80, 24), (120, 40)], 3), ids=str)
async def test_it_fits_the_terminal(tmp_path: Path, size: tuple[int, int]):
    async with opened(write(tmp_path, *WITH_MISSED), TODAY, size) as shed:
        office = await to_office(shed)
        for keys in ((), ("down", "p"), ("escape", "b"), ("escape", "enter"), ("escape", "o")):
            await office.press(*keys)
            await office.settle()
            lines = shed.text.splitlines()
            assert len(lines) <= size[1]
            assert max(map(cell_len, lines)) <= size[0]
