"""The stock screen: what it shows, what its keys record, the walk of a stock-take."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.widgets import Input, Label

from engine.views.stock import BY
from tests.engine.records.farms import STOCK
from tests.sampled import sampled
from tests.tui.farms import TINY, TODAY, open_house, tell, write_tiny
from tests.tui.shed import Shed, bindings, explained, opened
from tui.command import main
from tui.forms.form import FormScreen
from tui.forms.page import PageScreen
from tui.screens.stock.rows import Row
from tui.screens.stock.screen import StockScreen
from tui.screens.stock.walk import WalkScreen, route

P1 = "P1|1 L pot||standing ground"
P2 = "P2|bare root|first|north bed"


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    return write_tiny(tmp_path, TINY + STOCK)


class Stocked:
    """The stock screen of an open Widger."""

    def __init__(self, shed: Shed) -> None:
        self.shed = shed

    @property
    def screen(self) -> StockScreen:
        return next(s for s in self.shed.app.screen_stack if isinstance(s, StockScreen))

    @property
    def rows(self) -> list[Row]:
        return list(self.screen.stock_list.rows)

    @property
    def lots(self) -> list[str]:
        return [row.line.lot for row in self.rows if row.line is not None]

    async def go(self, key: str) -> None:
        self.screen.stock_list._move(next(n for n, row in enumerate(self.rows) if row.key == key))
        await self.shed.pilot.pause()

    async def record(self, key: str, what: str, **values: str) -> None:
        """Press a key on a lot, fill in its form and save it."""
        await self.go(key)
        await self.screen.run_action(f"record('{what}')")
        await self.shed.pilot.pause()
        await self.shed.fill(**values)
        await self.shed.save()

    def counts(self) -> dict[str, int]:
        return {row.key: row.line.on_hand for row in self.rows if row.line is not None and row.line.on_hand}

    def told(self) -> list[tuple[str, dict[str, object]]]:
        return [(entry.kind, dict(entry.data)) for entry in self.shed.entries()]


@asynccontextmanager
async def stocked(path: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Stocked]:
    async with opened(path, TODAY, size) as shed:
        await shed.press("2")
        await shed.pilot.pause()
        yield Stocked(shed)


@pytest.mark.parametrize("size", sampled([(80, 24), (120, 40)], 2), ids=str)
async def test_2_shows_the_lots_with_their_numbers_and_the_ledger_of_one(farm: Path, size: tuple[int, int]):
    async with stocked(farm, size) as stock:
        await stock.go(P2)
        text = stock.shed.text
        for word in (
            "Stock by species",
            "on hand",
            "promised",
            "free",
            "coming",
            "P1",
            "Z2",
            "HALL",
            "opening stock 30",
        ):
            assert word in text
        assert max(map(cell_len, text.splitlines())) <= size[0]
        header = next(line for line in text.splitlines() if "promised free" in line)
        row = next(line for line in text.splitlines() if line.startswith("   P2"))
        assert row[header.index("on hand") : header.index("on hand") + 7] == "     30"
        assert row[header.index("promised") : header.index("promised") + 8] == "      30"


async def test_b_groups_by_species_form_and_place_in_turn_and_the_cursor_stays_on_its_lot(farm: Path):
    async with stocked(farm) as stock:
        await stock.go(P2)
        for by in (*BY[1:], BY[0]):
            await stock.shed.press("b")
            assert f"Stock by {by}" in stock.shed.text
            assert stock.screen.stock_list.row is not None
            assert stock.screen.stock_list.row.key == P2
            groups = [row.text for row in stock.rows if row.kind == "group"]
            assert ("north bed" in groups) is (by == "place")
            assert ("bare root" in groups) is (by == "form")


async def test_what_is_typed_after_a_slash_narrows_the_list_at_once(farm: Path):
    async with stocked(farm) as stock:
        assert len(stock.lots) > 2
        await stock.shed.press("slash", *"pale")
        assert set(stock.lots) == {"P2", "Z3"}
        await stock.shed.press("escape")
        assert len(stock.lots) > 2


async def test_each_key_asks_with_the_numbers_filled_in_and_changes_the_count(farm: Path):
    async with stocked(farm) as stock:
        await stock.go(P1)
        await stock.shed.press("s")
        form = stock.shed.on_top(FormScreen)
        assert {f.id: f.value for f in form.query(Input)} == {
            "count": "20", "to": "", "need": "FAIR", "on": TODAY.isoformat(),
        }  # fmt: skip
        await stock.shed.press("5", "enter", "enter", "enter", "enter")
        assert stock.told()[-1] == (
            "sell",
            {"lot": "P1", "form": "1 L pot", "grade": "", "place": "standing ground", "count": 5, "need": "FAIR"},
        )
        assert stock.counts()[P1] == 45
        await stock.record(P1, "lose", count="2", cause="slugs")
        await stock.record(P1, "plant_out", count="3", to="the copse")
        await stock.record(P1, "count", count="41", reason="one found")
        await stock.record(P1, "move", count="10", to="north bed")
        await stock.record(P1, "pot_up", count="6", into="3 L pot", to="standing ground")
        await stock.record(P1, "grade", grades="first=4, second=3")
        assert {key: n for key, n in stock.counts().items() if key.startswith("P1")} == {
            "P1|1 L pot|first|standing ground": 4,
            "P1|1 L pot|second|standing ground": 3,
            "P1|1 L pot||standing ground": 18,
            "P1|1 L pot||north bed": 10,
            "P1|3 L pot||standing ground": 6,
        }
        assert [kind for kind, _ in stock.told()] == [
            "sell", "lose", "plant_out", "count", "move", "pot_up", "grade",
        ]  # fmt: skip


async def test_r_receives_a_lot_named_for_you(farm: Path):
    async with stocked(farm, (80, 24)) as stock:
        await stock.shed.press("r")
        form = stock.shed.on_top(FormScreen)
        assert form.query_one("#lot", Input).value == "L1-bench"
        screen = stock.shed.text
        assert "2027-01-18" in screen  # the last field is in sight at 80 by 24
        await stock.shed.fill(species="scree fig", cultivar="", as_form="liner", place="north bed", count="12")
        await stock.shed.save()
        assert stock.counts()["L1-bench|liner||north bed"] == 12


async def test_u_undoes_the_latest_exactly(farm: Path):
    async with stocked(farm) as stock:
        before = stock.counts()
        await stock.record(P1, "move", count="10", to="north bed")
        assert stock.counts() != before
        await stock.shed.press("u")
        assert stock.counts() == before


async def test_u_takes_back_a_whole_table(farm: Path, tmp_path: Path):
    table = tmp_path / "in.csv"
    table.write_text(
        "lot,species,form,place,on_hand\nA,Fictus montana,liner,north bed,7\nB,Fictus montana,liner,north bed,7\n",
        encoding="utf-8",
    )
    assert main(["receive", str(farm), "--csv", str(table), "--on", str(TODAY)]) == 0
    async with stocked(farm) as stock:
        assert {"A", "B"} < set(stock.lots)
        await stock.shed.press("u", "down", "enter")
        assert not {"A", "B"} & set(stock.lots)
        assert "and 1 more recorded with it" in stock.screen.said


async def test_what_is_refused_is_said_in_the_form_and_nothing_is_written(farm: Path):
    async with stocked(farm) as stock:
        await stock.record(P1, "sell", count="51")
        assert "only 50 in 1 L pots at standing ground" in stock.shed.refusal
        assert stock.told() == []
        await stock.shed.press("escape")
        assert isinstance(stock.shed.app.screen, StockScreen)


async def test_what_was_missed_is_not_shown_as_coming_until_its_next_chance_is_accepted(farm: Path):
    async with stocked(farm) as stock:
        assert not any("M1" in row.key for row in stock.rows)
        assert main(["accept", str(farm), "M1", "--on", TODAY.isoformat()]) == 0
    async with stocked(farm) as stock:
        await stock.go("M1|seedling||stock beds")
        await stock.shed.press("s")
        assert "there is none of M1 yet" in stock.shed.text


async def test_d_makes_a_name_doubtful_and_sure_again(farm: Path):
    async with stocked(farm) as stock:
        await stock.go(P2)
        await stock.shed.press("d")
        assert "Pale ?" in stock.shed.text
        await stock.record(P2, "sell", count="2")
        assert "not certain" in stock.shed.refusal
        await stock.shed.fill(unnamed="yes")
        await stock.shed.save()
        assert stock.told()[-1][1]["unnamed"] is True
        await stock.shed.press("d")
        assert [kind for kind, _ in stock.told()] == ["doubt", "sell", "verify"]


async def test_enter_opens_the_lots_trace(farm: Path):
    tell(farm, "sell", TODAY, lot="P1", form="1 L pot", grade="", place="standing ground", count=4, to="the hall")
    async with stocked(farm) as stock:
        await stock.go(P1)
        await stock.shed.press("enter")
        assert isinstance(stock.shed.app.screen, PageScreen)
        assert "CAME FROM" in stock.shed.text
        assert "the hall" in stock.shed.text


async def test_the_walk_goes_place_by_place_enter_takes_the_count_a_number_sets_it_escape_stops(farm: Path):
    async with stocked(farm) as stock:
        await stock.go(P2)
        await stock.shed.press("w")
        walk = stock.shed.on_top(WalkScreen)

        def at() -> str:
            return " ".join(str(walk.query_one(f"#{name}", Label).render()) for name in ("where", "what"))

        assert "north bed · 1 of 1" in at()
        await stock.shed.press("enter")
        assert "standing ground · 1 of 1" in at()
        assert "P1" in at()
        await stock.shed.press("4", "4", "enter")
        assert "cold store · 1 of 2" in at()
        assert "Z2" in at()
        await stock.shed.press("down")
        assert "Z3" in at()
        await stock.shed.press("up")
        assert "Z2" in at()
        await stock.shed.press("x", "enter")
        assert "must be 0 or more" in str(walk.query_one(".refusal", Label).render())
        await stock.shed.press("escape")
        assert isinstance(stock.shed.app.screen, StockScreen)
        assert "2 lots counted: 0 found, 6 missing" in stock.shed.text
        assert [(kind, data["lot"], data["count"]) for kind, data in stock.told()] == [
            ("count", "P2", 30), ("count", "P1", 44),
        ]  # fmt: skip
        assert stock.counts()[P1] == 44


async def test_what_is_going_is_passed_by_on_the_walk_unless_a_number_is_typed(farm: Path):
    tell(farm, "done", TODAY, batch="Z2", step="sow", count=80)
    async with stocked(farm) as stock:
        going = "Z2|seedling||seed beds"
        await stock.go(going)
        await stock.shed.press("s", "ctrl+s")
        assert "80 of Z2 were sown and are not counted yet" in stock.shed.refusal
        await stock.shed.press("escape", "w")
        walk = stock.shed.on_top(WalkScreen)
        assert walk.query_one(Input).value == ""
        assert "80 went in: how many are alive?" in stock.shed.text
        await stock.shed.press("enter", "up")
        assert stock.told() == []
        await stock.shed.press("3", "3", "enter", "escape")
        assert [(kind, data["count"]) for kind, data in stock.told()] == [("count", 33)]
        assert stock.counts()[going] == 33


async def test_c_on_what_is_going_asks_how_many_are_alive_and_x_names_the_causes(farm: Path):
    tell(farm, "done", TODAY, batch="Z2", step="sow", count=80)
    async with stocked(farm) as stock:
        going = "Z2|seedling||seed beds"
        await stock.record(going, "lose", count="5", cause="mice")
        assert going not in stock.counts()  # none of it is on hand
        await stock.go(going)
        await stock.shed.press("x")
        assert "of the method: none rooted" in stock.shed.text
        assert "of the place: mice" in stock.shed.text
        await stock.shed.press("escape")
        await stock.record(going, "count", count="41")
        assert stock.counts()[going] == 41


async def test_the_walk_ends_after_the_last_lot(farm: Path):
    async with stocked(farm) as stock:
        await stock.shed.press("w", *["enter"] * 4)
        assert isinstance(stock.shed.app.screen, StockScreen)
        assert "4 lots counted, all as recorded" in stock.shed.text


def test_the_route_takes_each_place_once_from_the_first_on(farm: Path):
    from engine.schedule.plan import Day, plan_all
    from engine.views.stock import stock_view

    nursery = open_house(farm).nursery
    lines = list(stock_view(Day(nursery, plan_all(nursery, TODAY), TODAY)).held())
    for start in ("cold store", "north bed", "standing ground", "nowhere"):
        places = list(dict.fromkeys(line.place for line in route(lines, start)))
        assert len(places) == 3
        assert places[0] == ("cold store" if start == "nowhere" else start)
        assert sorted(places) == ["cold store", "north bed", "standing ground"]


async def test_every_key_of_the_screen_is_on_the_page_of_keys(farm: Path):
    keys = bindings(StockScreen)
    assert len({binding.key for binding in keys}) == len(keys)
    async with stocked(farm, (80, 60)) as stock:
        await stock.shed.press("question_mark")
        page = stock.shed.text
        for binding in keys:
            if binding.show:
                assert explained(page, binding), binding.key


async def test_a_farm_without_any_stock_says_what_to_do(tmp_path: Path):
    path = write_tiny(tmp_path, "\n".join(part for part in TINY.split("\n[[batch]]")[:1]), history=False)
    async with stocked(path) as stock:
        assert stock.rows == []
        assert "r receives" in stock.shed.text
        await stock.shed.press("w")
        assert "nothing is on hand" in stock.shed.text


async def test_the_weeks_panel_says_where_the_collecting_asks_more_than_the_stock_plants_give(tmp_path: Path):
    mothers = '\n[[stock_plant]]\nid = "figs"\nspecies = "Fictus montana"\ncount = 3\nmaterial = "seed"\nyields = 5\n'
    async with opened(write_tiny(tmp_path, TINY + mothers), TODAY, (120, 40)) as shed:
        await shed.go("act M1 collect stock beds")
        assert "! M1 asks 40 seed of scree fig" in " ".join(shed.screen.facts().plain.split())
        await shed.go("act Z1 soak potting shed")
        assert "M1 asks" not in shed.screen.facts().plain


async def test_y_shows_what_the_stock_plants_gave_by_year(tmp_path: Path):
    from tests.engine.views.test_stock_day import PLANTS

    farm = write_tiny(tmp_path, TINY + PLANTS)
    tell(farm, "done", TODAY, batch="M1", step="collect", count=31)
    async with stocked(farm) as stock:
        await stock.shed.press("y")
        assert isinstance(stock.shed.app.screen, PageScreen)
        assert "SCREE FIG, seed: old figs" in stock.shed.text
        assert "31  M1 (so far)" in stock.shed.text


async def test_all_lots_that_are_marked_move_to_one_place_and_one_undo_brings_them_back(farm: Path):
    async with stocked(farm) as stock:
        for key in (P1, P2):
            await stock.go(key)
            await stock.shed.press("space")
        await stock.shed.press("s")
        assert "Esc unmarks them" in stock.screen.said
        await stock.shed.press("m", *"potting shed", "enter")
        places = {row.line.lot: row.line.place for row in stock.rows if row.line is not None}
        assert (places["P1"], places["P2"]) == ("potting shed", "potting shed")
        assert "and 1 more; one undo reverses them all" in stock.screen.said
        await stock.shed.press("u")
        assert {P1, P2} <= {row.key for row in stock.rows}
