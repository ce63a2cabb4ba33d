"""Planning a shortfall on the needs screen: the ways side by side, and what is written."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.widgets import Label, Static

from tests.tui.farms import tell
from tests.tui.screens.cold.test_screen import written
from tests.tui.screens.needs.office import FARM, TODAY, to_office, write
from tests.tui.shed import Shed, in_turn, opened
from tui.facts import Facts
from tui.screens.needs.screen import NeedsScreen
from tui.screens.needs.shortfall import PlanScreen, split_text


@pytest.fixture(name="home")
def _home(tmp_path: Path) -> Path:
    return write(tmp_path, *FARM)


async def test_p_shows_the_ways_side_by_side_and_enter_plans_the_one_under_the_cursor(home: Path):
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        ways = await office.plan("need BIG")
        text = shed.text
        for words in (
            "start by",
            "ready",
            "starts",
            "enough",
            "hours",
            "split over two",
            "risk of falling short, against",
        ):
            assert words in text
        first = ways.row
        assert first is not None
        assert first.key == "way hardwood cutting"
        await office.press("enter")
        await office.settle()
        [(kind, data)] = written(home)
        assert kind == "batch"
        assert (data["species"], data["method"], data["ready"]) == ("Arbor ficta", "hardwood cutting", "2028-12-31")
        assert data["count"] == first.chosen.takes
        assert data["note"] == "for BIG, Hale"
        assert office.here == "need BIG"
        assert office.states["BIG"] == "coming"
        assert "planned for BIG: " in office.foot
        assert "u undoes it" in office.foot
        await office.press("4", "slash", *data["batch"].lower(), "enter")
        assert "for BIG, Hale" in shed.app.screen.query_one(Facts).told
        office = await to_office(shed)
        await office.press("u")
        await office.settle()
        assert office.states["BIG"].startswith("short ")
        assert "undone" in office.foot


async def test_a_split_becomes_two_batches_in_one_append_and_one_undo_takes_both_back(home: Path):
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        ways = await office.plan("need BIG")
        before = int(office.states["BIG"].removeprefix("short "))
        pair = next(row for row in ways.rows if row.key.startswith("split "))
        methods = [way.protocol.method for way in (pair.chosen.one, pair.chosen.other)]
        ways._move(list(ways.rows).index(pair))
        await shed.pilot.pause()
        assert "half by each" in str(shed.app.screen.query_one("#plan-told", Static).render())
        await office.press("enter")
        await office.settle()
        told = written(home)
        assert [(kind, data["method"]) for kind, data in told] == [("batch", method) for method in methods]
        assert [data["count"] for _, data in told] == [lot.count for lot in pair.chosen.spread.two.lots]
        assert told[0][1]["batch"] != told[1][1]["batch"]
        assert "u undoes both" in office.foot
        assert office.states["BIG"] == "coming"
        assert before > 250
        await office.press("u")
        await office.settle()
        assert office.screen.app.house.records.lot(told[0][1]["batch"]) is None
        assert office.screen.app.house.records.lot(told[1][1]["batch"]) is None


async def test_where_no_way_meets_a_need_it_is_told_with_the_reasons_and_enter_plans_nothing(home: Path):
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        ways = await office.plan("need POTS")
        assert "it gives bare-root plants, not pots" in shed.text
        assert "they can't be raised in time" in shed.text
        assert ways.row is None
        await office.press("enter", "escape")
        shed.on_top(NeedsScreen)
        assert written(home) == []


async def p_on_what_is_not_short_says_so(shed: Shed) -> None:
    office = await to_office(shed)
    await office.go("need HAND")
    await office.press("p")
    shed.on_top(NeedsScreen)
    assert "HAND is not short" in office.foot


async def test_a_plan_that_the_journal_refuses_stays_open_and_says_why(home: Path, monkeypatch):
    from engine.acts.action import Refused
    from tui.screens.needs import shortfall

    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await office.plan("need BIG")

        def refuse(*_: object) -> object:
            raise Refused("the knife is blunt", "whet it")

        monkeypatch.setattr(shortfall, "batches_for", refuse)
        await office.press("enter")
        assert str(shed.on_top(PlanScreen).query_one(".refusal", Label).render()) == "the knife is blunt (whet it)"
        assert written(home) == []


async def test_a_need_that_another_device_has_withdrawn_meanwhile_is_not_planned(home: Path):
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await office.plan("need BIG")
        tell(home, "withdraw", TODAY, need="BIG")
        await office.press("enter")
        assert "BIG is withdrawn" in str(shed.on_top(PlanScreen).query_one(".refusal", Label).render())
        assert written(home) == []


async def the_lines_of_the_plan_fit_their_list(shed: Shed) -> None:
    office = await to_office(shed)
    ways = await office.plan("need BIG")
    pair = next(row.chosen for row in ways.rows if row.key.startswith("split hardwood cutting + seed"))
    lean = replace(pair, lean=True)
    total = sum(lot.count for lot in lean.spread.two.lots)
    for width in (60, 74, 96, 112):
        for row in ways.rows:
            assert cell_len(ways.paint(row, width)[0]) == width
        assert cell_len(ways.head(width)) == width
        risk = "risk" if width < 78 else "risk of falling short"
        odds = f"{pair.spread.two.short * 100:.1f} % {risk}, against {pair.spread.one.short * 100:.1f} %"
        assert odds in split_text(pair, width)
        assert f"{total:,} instead of {lean.one.takes:,} in one" in split_text(lean, width)


async def test_what_the_plan_of_a_need_shows(home: Path):
    async with opened(home, TODAY) as shed:
        await in_turn(
            shed,
            p_on_what_is_not_short_says_so,
            the_lines_of_the_plan_fit_their_list,
        )


async def test_where_the_farm_gives_prices_each_way_has_its_cost_and_without_them_none(tmp_path: Path, home: Path):
    async with opened(home, TODAY, (130, 40)) as shed:
        await (await to_office(shed)).plan("need BIG")
        assert "cost" not in shed.text
    priced = write(tmp_path, '[farm]\ncurrency = "EUR"\n', *FARM, '[[price]]\nitem = "hour"\neach = 20\n')
    async with opened(priced, TODAY, (130, 40)) as shed:
        ways = await (await to_office(shed)).plan("need BIG")
        way = ways.row.chosen
        assert way.cost is not None
        assert way.cost.total == pytest.approx(20 * way.hours)
        assert way.cost.sum_only() in ways.paint(ways.row, 112)[0]
        assert "cost" in shed.text
