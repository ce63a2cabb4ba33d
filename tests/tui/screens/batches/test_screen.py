"""The batches screen: every lot by season, its year as a strip, its life on a page, and what its keys record."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.widgets import Input, OptionList, Static

from engine.views.batches import BatchLine, batches_view, season_of
from tests.sampled import sampled
from tests.tui.farms import TODAY, open_house, tell, write_tiny
from tests.tui.screens.cold.test_screen import written
from tests.tui.screens.test_colours import poor
from tests.tui.shed import Shed, bindings, explained, in_turn, opened
from tui.facts import Facts
from tui.forms.choice import ChoiceScreen
from tui.forms.correct import EntriesScreen
from tui.forms.form import FormScreen
from tui.forms.page import PageScreen
from tui.screens.batches.form import BatchForm
from tui.screens.batches.rows import BatchList
from tui.screens.batches.screen import BatchesScreen
from tui.screens.week.screen import WeekScreen
from tui.strips.life import ACT, AHEAD, BEFORE, BEYOND, DONE, GONE, HERE, edges, letters, strip


class Bench:
    """The batches, open in front."""

    def __init__(self, shed: Shed) -> None:
        self.shed = shed

    @property
    def screen(self) -> BatchesScreen:
        return next(s for s in self.shed.app.screen_stack if isinstance(s, BatchesScreen))

    @property
    def list(self) -> BatchList:
        return self.screen.board

    @property
    def lots(self) -> list[str]:
        return [row.line.lot.id for row in self.list.rows if row.line]

    @property
    def seasons(self) -> list[str]:
        return [row.title for row in self.list.rows if row.title]

    @property
    def foot(self) -> str:
        return str(self.screen.query_one("#foot", Static).render())

    @property
    def facts(self) -> str:
        return self.screen.query_one(Facts).told

    def line(self, name: str) -> BatchLine:
        return next(line for line in self.screen.lines if line.lot.id == name)

    def painted(self, name: str, width: int = 80) -> str:
        return next(self.list.text(row, width) for row in self.list.rows if row.key == f"lot {name}")

    async def go(self, name: str) -> None:
        self.list._move(next(n for n, row in enumerate(self.list.rows) if row.key == f"lot {name}"))
        await self.shed.pilot.pause()


async def to_bench(shed: Shed) -> Bench:
    await shed.press("4")
    shed.on_top(BatchesScreen)
    return Bench(shed)


def lines_on(path: Path, today: date = TODAY) -> dict[str, BatchLine]:
    house = open_house(path)
    return {line.lot.id: line for line in batches_view(house.day(today))}


# -- what it shows


async def four_shows_every_lot_by_season_and_one_goes_back(shed: Shed) -> None:
    """M1's collecting in November was missed and comes again in the next; the others start in the winter."""
    bench = await to_bench(shed)
    assert bench.seasons == ["winter 2026-27 · 3 lots", "autumn 2027 · 1 lot"]
    assert bench.lots == ["Z2", "Z3", "Z1", "M1"]
    assert "4 lots, 2 under way, 2 to start" in shed.text
    assert "1 missed" in shed.text
    await shed.press("1")
    shed.on_top(WeekScreen)


async def a_line_says_state_lot_plant_method_count_next_step_and_dates_in_words(shed: Shed) -> None:
    await shed.resize((80, 24))
    bench = await to_bench(shed)
    for name, words in {
        "Z2": ["later", "bankside", "seed", " 80 ", "sow", "1 Apr"],
        "Z1": ["open", "seed", " 100 ", "soak", "now"],
        "M1": ["missed", "collect", "1 Nov"],
    }.items():
        for word in words:
            assert word in bench.painted(name), (name, word)


@pytest.mark.parametrize("on", sampled([date(2027, 6, 20), date(2026, 11, 9)], 2), ids=str)
async def test_the_demo_fits_its_lines(demo: Callable[[date], Path], on: date):
    async with opened(demo(on), on, (120, 40)) as shed:
        bench = await to_bench(shed)
        for size in ((120, 40), (80, 24)):
            await shed.resize(size)
            width = bench.list.scrollable_content_region.width
            assert {cell_len(bench.list.text(row, width)) for row in bench.list.rows} == {width}
            assert all(cell_len(line) <= size[0] for line in shed.text.splitlines())
        assert len(bench.lots) == len(shed.app.house.records.lots)


async def the_facts_say_what_comes_next_why_and_what_was_done(shed: Shed) -> None:
    bench = await to_bench(shed)
    await bench.go("Z2")
    for words in (
        "bankside fig · Z2 · 80 · seed",
        "do: sow, seed beds",
        "when: later; aim 1 Apr 27",
        "opens 1 Apr",
        "done: soak 4 Jan (80), stratify cold 4 Jan (80)",
    ):
        assert words in bench.facts
    await bench.go("Z1")
    assert "next: stratify cold" in bench.facts
    assert "note" not in bench.facts


async def test_what_is_over_stands_at_the_end_and_says_so_in_words(tiny: Path):
    tell(tiny, "drop", TODAY, batch="Z3")
    tell(tiny, "done", TODAY, batch="Z2", step="sow", count=40)
    async with opened(tiny) as shed:
        bench = await to_bench(shed)
        assert bench.lots == ["Z1", "M1", "Z2", "Z3"]
        assert bench.seasons[-1] == "done, or dropped · 2 lots"
        assert bench.painted("Z2").startswith(" done ")
        assert bench.painted("Z3").startswith(" dropped")


async def test_a_farm_without_batches_says_so_and_its_keys_do_no_harm(tmp_path: Path):
    from tests.tui.farms import SITE

    path = write_tiny(tmp_path, SITE, history=False)
    async with opened(path) as shed:
        bench = await to_bench(shed)
        assert bench.lots == []
        for key in ("e", "x", "t", "enter"):
            await shed.press(key)
            shed.on_top(BatchesScreen)
            assert "b begins a new batch" in bench.foot
        assert written(path) == []


async def find_narrows_and_escape_shows_all(shed: Shed) -> None:
    bench = await to_bench(shed)
    for words, found in (("scree", ["M1"]), ("z2", ["Z2"]), ("missed", ["M1"]), ("soak", ["Z1"])):
        bench.screen.find(words)
        assert bench.lots == found
    await shed.press("slash", "enter")
    await shed.press("escape")
    assert len(bench.lots) == 4


async def the_page_of_keys_names_every_key_and_sign(shed: Shed) -> None:
    await shed.resize((100, 60))
    await to_bench(shed)
    await shed.press("question_mark")
    for binding in bindings(BatchesScreen):
        assert explained(shed.text, binding)
    for sign in (DONE, GONE, HERE, ACT, AHEAD, BEFORE, BEYOND):
        assert sign in shed.text


@pytest.mark.parametrize("theme", sampled(["light", "dark"], 2))
async def test_every_word_of_the_list_and_the_form_stands_out_from_its_ground(tiny: Path, theme: str, monkeypatch):
    monkeypatch.setenv("WIDGER_THEME", theme)
    tell(tiny, "drop", TODAY, batch="Z3")
    async with opened(tiny) as shed:
        await to_bench(shed)
        for strip_ in shed.app.screen._compositor.render_strips():
            assert poor(list(strip_)) == []
        await shed.press("b")
        form = shed.on_top(BatchForm)
        form.query_one("#species", Input).value = "hazel"
        form.query_one("#ready", Input).value = "2027-03-01"  # too soon: each way has its trouble
        await shed.pilot.pause()
        form.work_out()
        form.action_choose(1)
        form.query_one("#id", Input).value = "Z1"
        form.action_save()
        assert shed.refusal
        for widget in (*form.query(Static), *form.query(Input), form.ways):
            lines = [widget.render_line(y) for y in range(widget.size.height)]
            assert [found for line in lines for found in poor(list(line))] == []


@pytest.mark.parametrize(
    ("day", "north", "south"),
    [
        (date(2026, 12, 1), "winter 2026-27", "summer 2026-27"),
        (date(2027, 2, 28), "winter 2026-27", "summer 2026-27"),
        (date(2027, 3, 1), "spring 2027", "autumn 2027"),
        (date(2027, 8, 31), "summer 2027", "winter 2027"),
        (date(2027, 11, 30), "autumn 2027", "spring 2027"),
        (date(1999, 12, 31), "winter 1999-00", "summer 1999-00"),
    ],
)
def test_seasons_are_of_three_months_and_turn_across_the_equator(day: date, north: str, south: str):
    assert (season_of(day, 52.3), season_of(day, -41.0)) == (north, south)


# -- the strip


def test_the_strip_runs_from_three_months_back_for_twelve(tiny: Path):
    starts = edges(TODAY, 12)
    assert (starts[0], starts[-1]) == (date(2026, 10, 1), date(2027, 10, 1))
    assert letters(TODAY, 12) == "ONDJFMAMJJAS"
    assert letters(TODAY, 24) == "O N D J F M A M J J A S "
    lots = lines_on(tiny)
    # Z2: soaked and laid in the cold this month, sown in April; Z1: to be soaked from now; ready when it is sown.
    assert strip(lots["Z2"], TODAY, 12) == f"   {HERE}{AHEAD}{AHEAD}{ACT}     "
    assert strip(lots["Z2"], TODAY, 24) == f"      {DONE}{HERE}{AHEAD * 4}{ACT}           "
    assert strip(lots["Z1"], TODAY, 12) == f"   {HERE}{AHEAD}{AHEAD}{ACT}     "


def test_the_strip_says_where_acts_lie_beyond_it(tiny: Path):
    later = date(2027, 8, 1)
    assert strip(lines_on(tiny, later)["Z2"], later, 12)[0] == BEFORE
    assert strip(lines_on(tiny)["M1"], TODAY, 12)[-1] == BEYOND


def test_the_strip_keeps_its_width_on_any_day(tiny: Path):
    house = open_house(tiny)
    for days in range(-400, 900, 61):
        today = TODAY + timedelta(days)
        lines = batches_view(house.day(today))
        for cells in (12, 24, 36):
            assert edges(today, cells) == sorted(set(edges(today, cells)))
            assert {cell_len(strip(line, today, cells)) for line in lines} == {cells}


# -- its life on a page


async def test_enter_opens_the_whole_life_planned_and_actual_counts_looks_notes_and_stock(tiny: Path):
    tell(tiny, "look", date(2027, 1, 11), batch="Z2", step="stratify cold", finding="mould")
    tell(tiny, "note", date(2027, 1, 12), batch="Z2", text="rinsed [twice]")
    tell(tiny, "done", date(2027, 4, 6), batch="Z2", step="sow", count=33)
    async with opened(tiny, date(2027, 4, 8), (80, 60)) as shed:
        bench = await to_bench(shed)
        await bench.go("Z2")
        await shed.press("enter")
        shed.on_top(PageScreen)
        page = [" ".join(line.strip(" │").split()) for line in shed.text.splitlines()]
        assert "soak potting shed 1 Dec 26 4 Jan 27 80 80 done" in page
        assert "sow seed beds 1 Apr 27 6 Apr 27 80 33 done" in page
        for words in ("11 Jan 27: stratify cold, mould", "12 Jan 27: rinsed [twice]"):
            assert words in page
        assert any("-47" in line and "lost" in line for line in page)
        assert any(line.startswith("Fictus ripensis, seed; 80 from 1 Dec 26") for line in page)


async def the_life_of_what_is_to_come_says_why(shed: Shed) -> None:
    await shed.resize((80, 60))
    bench = await to_bench(shed)
    await bench.go("M1")
    await shed.press("enter")
    assert "WHY collect, and why then" in shed.text
    assert "missed" in shed.text
    await shed.press("escape")
    shed.on_top(BatchesScreen)


async def test_the_life_of_a_part_counts_what_went_into_the_part(tiny: Path):
    tell(tiny, "done", date(2027, 1, 10), batch="Z1", step="soak", count=40, left=60, part="Z1/1")
    async with opened(tiny, size=(80, 60)) as shed:
        bench = await to_bench(shed)
        assert {"Z1", "Z1/1"} <= set(bench.lots)
        await bench.go("Z1/1")
        await shed.press("enter")
        page = [" ".join(line.strip(" │").split()) for line in shed.text.splitlines()]
        assert "soak potting shed 1 Dec 26 10 Jan 27 40 40 done" in page


# -- what its keys record


async def test_e_changes_what_has_not_started(tiny: Path):
    async with opened(tiny) as shed:
        bench = await to_bench(shed)
        await bench.go("Z1")
        assert "e change" in bench.foot
        await shed.press("e")
        form = shed.on_top(FormScreen)
        assert [field.value for field in form.query("Input")] == [
            "100", "2026-12-01", "", "", "seed", "", "potting shed, cold store, seed beds", "", "", "",
        ]  # fmt: skip
        await shed.fill(count="70", start="5 feb", cultivar="Pale")
        await shed.save()
        assert written(tiny) == [
            ("change", {"batch": "Z1", "count": 70, "start": "2027-02-05", "cultivar": "Pale"})
        ]  # fmt: skip
        line = bench.line("Z1")
        assert (line.lot.count, line.day, line.plant) == (70, date(2027, 2, 5), "bankside fig Pale")
        assert "Z1: now 70 of it" in bench.foot
        await shed.press("u")
        assert bench.line("Z1").lot.count == 100


async def test_a_method_that_the_library_lacks_for_the_plant_is_asked_about_once(tiny: Path):
    async with opened(tiny) as shed:
        bench = await to_bench(shed)
        await bench.go("Z1")
        await shed.press("e")
        await shed.fill(method="mound layer")
        await shed.save()
        assert "save again for the general method" in shed.refusal
        assert written(tiny) == []
        await shed.save()
        assert written(tiny) == [("change", {"batch": "Z1", "method": "mound layer", "route": ""})]


async def e_on_what_has_started_opens_what_was_recorded_of_it(shed: Shed) -> None:
    bench = await to_bench(shed)
    await bench.go("Z2")
    assert "e change" not in bench.foot
    await shed.press("e")
    shed.on_top(EntriesScreen)
    assert "4 Jan 27  Z2: soak done, 80" in shed.text


async def test_what_the_batches_show(tiny: Path):
    async with opened(tiny) as shed:
        await in_turn(
            shed,
            four_shows_every_lot_by_season_and_one_goes_back,
            a_line_says_state_lot_plant_method_count_next_step_and_dates_in_words,
            the_facts_say_what_comes_next_why_and_what_was_done,
            find_narrows_and_escape_shows_all,
            the_page_of_keys_names_every_key_and_sign,
            the_life_of_what_is_to_come_says_why,
            e_on_what_has_started_opens_what_was_recorded_of_it,
        )


async def test_x_asks_keeps_unless_the_lot_is_chosen_and_u_brings_it_back(tiny: Path):
    async with opened(tiny) as shed:
        bench = await to_bench(shed)
        await bench.go("Z3")
        await shed.press("x")
        choice = shed.on_top(ChoiceScreen).query_one(OptionList)
        assert choice.highlighted == 0
        await shed.press("enter")
        shed.on_top(BatchesScreen)
        await shed.press("x", "escape")
        assert written(tiny) == []
        await shed.press("x", "down", "enter")
        assert written(tiny) == [("drop", {"batch": "Z3"})]
        assert bench.line("Z3").state == "dropped"
        await bench.go("Z3")
        await shed.press("x")
        assert "was dropped on 2027-01-18" in bench.foot
        await shed.press("u")
        assert bench.line("Z3").state == "later"


async def test_t_writes_a_note(tiny: Path):
    async with opened(tiny) as shed:
        bench = await to_bench(shed)
        await bench.go("Z2")
        await shed.press("t")
        await shed.fill(text="smells of [yeast]")
        await shed.save()
        assert written(tiny) == [("note", {"batch": "Z2", "text": "smells of [yeast]"})]
        assert "smells of [yeast]" in bench.facts


async def test_a_note_is_written_on_all_lots_that_are_marked(tiny: Path):
    async with opened(tiny) as shed:
        bench = await to_bench(shed)
        for lot in ("Z2", "Z3"):
            await bench.go(lot)
            await shed.press("space")
        await shed.press("t", *"mice", "enter")
        assert [shed.plan(lot).lot.notes for lot in ("Z2", "Z3")] == [((TODAY, "mice"),)] * 2
        assert bench.list.marked == set()
