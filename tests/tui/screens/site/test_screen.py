"""The site screen: the marks of a year, what rests on them, the light as a curve, and a mark that was seen."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len

from engine.views.site import SiteMark
from tests.tui.farms import TINY, TODAY, open_house, write_tiny
from tests.tui.shed import Shed, in_turn, opened
from tui.cells import away_cell
from tui.facts import Facts
from tui.forms.form import FormScreen
from tui.screens.site.rows import MarkList
from tui.screens.site.screen import SiteScreen
from tui.strips.bars import MONTHS, NOW, bars
from tui.strips.light_curve import CURVE, light_curve

ON_MARKS = TINY.replace('opens = ["1 Apr"]', 'opens = ["soil workable"]')


async def site(shed: Shed) -> SiteScreen:
    await shed.press("7")
    screen = shed.on_top(SiteScreen)
    await shed.pilot.pause()
    return screen


def marks(screen: SiteScreen) -> dict[str, SiteMark]:
    return {row.name: row.mark for row in screen.query_one(MarkList).rows}


async def it_begins_at_the_next_mark_to_come(shed: Shed) -> None:
    screen = await site(shed)
    days = [mark.mark.day for mark in marks(screen).values() if mark.mark.day]
    assert days == sorted(days)
    assert screen.board.row is not None
    assert screen.board.row.mark.mark.day == min(day for day in days if day >= TODAY)


@pytest.mark.parametrize("key", ["s", "enter"])
async def test_s_records_the_mark_under_the_cursor_and_what_rests_on_it_moves(tmp_path: Path, key: str):
    on = date(2027, 3, 24)
    async with opened(write_tiny(tmp_path, ON_MARKS), on) as shed:
        screen = await site(shed)
        assert {act.lot for act in marks(screen)["soil workable"].resting} >= {"Z2", "Z3"}
        screen.board.go_to("soil workable 0")
        await shed.pilot.pause()
        assert "depends on it: sow" in screen.query_one(Facts).told
        await shed.press(key)
        shed.on_top(FormScreen)
        await shed.fill(on="2027-03-20")
        await shed.save()
        assert [(e.kind, e.data, e.on) for e in shed.entries()] == [
            ("saw", {"mark": "soil workable"}, date(2027, 3, 20))
        ]
        found = marks(screen)["soil workable"]
        assert (found.seen, found.mark.day) == (True, date(2027, 3, 20))
        assert "1 seen" in shed.text
        assert screen.board.row is not None
        assert screen.board.row.name == "soil workable"


async def the_suns_turn_cannot_be_recorded(shed: Shed) -> None:
    screen = await site(shed)
    screen.board.go_to("longest day 0")
    await shed.press("s")
    assert shed.app.screen is screen
    assert "cannot be seen" in shed.text
    assert shed.entries() == []


async def left_and_right_go_to_other_years_and_w_comes_back(shed: Shed) -> None:
    screen = await site(shed)
    await shed.press("right", "right", "left")
    assert {mark.mark.day.year for mark in marks(screen).values() if mark.mark.day} == {2028}
    await shed.press("w")
    assert {mark.mark.day.year for mark in marks(screen).values() if mark.mark.day} == {2027}


async def test_what_the_marks_of_the_site_show(tiny: Path):
    async with opened(tiny) as shed:
        await in_turn(
            shed,
            it_begins_at_the_next_mark_to_come,
            the_suns_turn_cannot_be_recorded,
            left_and_right_go_to_other_years_and_w_comes_back,
        )


async def test_find_keeps_the_marks_that_are_meant(tmp_path: Path):
    async with opened(write_tiny(tmp_path, ON_MARKS)) as shed:
        screen = await site(shed)
        screen.find("leaf", keep=True)
        assert list(marks(screen)) == ["leaf drop"]
        screen.find("sow z2", keep=True)
        assert "soil workable" in marks(screen)


def test_the_curve_is_as_high_as_the_light_and_names_today(tiny: Path):
    almanac = open_house(tiny).nursery.almanac
    upper, lower, months, marked, said = light_curve(almanac, 2027, date(2027, 6, 10)).splitlines()
    assert {cell_len(row) for row in (upper, lower, months)} == {CURVE}
    assert lower[CURVE // 2] == upper[CURVE // 2 - 2] == "█"
    assert (upper[0], upper[-1]) == (" ", " ")
    assert marked.index(NOW) == (date(2027, 6, 10) - date(2027, 1, 1)).days * CURVE // 366
    assert months.split() == list(MONTHS)  # no sign stands in a month's place
    assert NOW not in light_curve(almanac, 2028, date(2027, 6, 10))
    narrow = light_curve(almanac, 2027, date(2027, 6, 10), 30).splitlines()
    assert max(map(cell_len, narrow[:4])) == 30
    assert "16 h" in said


def test_bars_rise_with_their_values():
    upper, lower = bars([0, 1, 8, 9, 16], 0, 16)
    assert (upper, lower) == ("   ▁█", " ▁███")
    assert bars([0.01], 0, 16) == (" ", "▁")  # what is there is seen
    assert bars([5, 5], 5, 5) == ("  ", "  ")


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "today"), (1, "in 1 day"), (-1, "1 day ago"), (20, "in 20 days"), (21, "in 3 weeks"), (-30, "4 weeks ago")],
)
def test_how_far_away_a_day_is(days: int, words: str):
    today = date(2027, 3, 2)
    assert away_cell(date.fromordinal(today.toordinal() + days), today) == words
