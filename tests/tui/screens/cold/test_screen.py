"""The cold store screen: what it shows, what its keys record, what they refuse."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.widgets import Input, Static

from engine.journal.store import journal_folder, read_journal
from engine.views.cold import ColdLot, cold_view
from tests.sampled import sampled
from tests.tui.farms import RIPENSIS, TINY, TODAY, open_house, tell, write_tiny
from tests.tui.shed import Shed, bindings, explained, in_turn, opened
from tui.facts import Facts
from tui.forms.form import FormScreen
from tui.forms.page import PageScreen
from tui.screens.cold.rows import ColdList
from tui.screens.cold.screen import ColdScreen
from tui.screens.week.screen import WeekScreen
from tui.strips.treatment import COLD_GONE, COLD_LEFT, HERE, LEAST, MOST, READY, SEEN, WARM_GONE, WARM_LEFT, bar

LOOKS = {"n": "nothing", "r": "radicles", "m": "mould", "y": "dry", "b": "dry through"}
ACORNS = TINY.replace('common = ["bankside fig"]', 'common = ["bankside fig"]\ndrying_kills = true')
TWO_PHASES = TINY.replace(
    RIPENSIS,
    RIPENSIS.replace(
        '[[protocol.step]]\ndo = "stratify cold"',
        '[[protocol.step]]\ndo = "stratify warm"\nplace = "potting shed"\nlasts_days = [30, 40]\n'
        '[[protocol.step]]\ndo = "stratify cold"',
    ),
)


class Store:
    """The cold store, open in front."""

    def __init__(self, shed: Shed) -> None:
        self.shed = shed

    @property
    def screen(self) -> ColdScreen:
        return next(s for s in self.shed.app.screen_stack if isinstance(s, ColdScreen))

    @property
    def list(self) -> ColdList:
        return self.screen.board

    @property
    def lots(self) -> list[str]:
        return [row.lot.lot.id for row in self.list.rows if row.lot]

    @property
    def foot(self) -> str:
        return str(self.screen.query_one("#foot", Static).render())

    @property
    def facts(self) -> str:
        return self.screen.query_one(Facts).told

    def lot(self, name: str) -> ColdLot:
        return next(lot for lot in self.screen.lots if lot.lot.id == name)

    async def go(self, name: str) -> None:
        self.list._move(next(n for n, row in enumerate(self.list.rows) if row.key == f"lot {name}"))
        await self.shed.pilot.pause()


async def to_store(shed: Shed) -> Store:
    await shed.press("3")
    shed.on_top(ColdScreen)
    return Store(shed)


def lots_on(path: Path, today: date = TODAY) -> tuple[ColdLot, ...]:
    house = open_house(path)
    return cold_view(house.day(today))


def written(path: Path) -> list[tuple[str, dict[str, object]]]:
    return [(e.kind, dict(e.data)) for e in read_journal(journal_folder(path))[0] if e.id.startswith("bench-")]


# -- what it shows


async def three_shows_each_lot_under_treatment_and_one_goes_back(shed: Shed) -> None:
    """Z2 and Z3 lie in the cold since 4 January, of 30 to 90 days; Z1 is to begin; M1 is sown without."""
    store = await to_store(shed)
    assert store.lots == ["Z2", "Z3", "Z1"]
    assert "14/30-90" in shed.text
    assert "2 lots under treatment, 1 to come" in shed.text
    assert "2 looks due" in shed.text
    await shed.press("1")
    shed.on_top(WeekScreen)


async def every_line_fits_80_columns_and_names_its_phase_in_words(shed: Shed) -> None:
    await shed.resize((80, 24))
    store = await to_store(shed)
    painted = [store.list.text(row, 80) for row in store.list.rows]
    assert {cell_len(text) for text in painted} == {80}
    words = [next(w for w in ("to cold", "cold", "radicles") if f" {w} " in text) for text in painted[1:]]
    assert words == ["cold", "cold", "to cold"]
    assert "bankside fig · Z2 · 80 · cold store" in shed.text
    assert "slow it at 1 to 2 °C" in shed.text


@pytest.mark.parametrize(
    "on", sampled([date(2027, 2, 20), date(2026, 5, 20), date(2026, 11, 9), date(2027, 3, 20)], 4), ids=str
)
async def test_the_demo_fits_its_lines(demo: Callable[[date], Path], on: date):
    async with opened(demo(on), on, (120, 40)) as shed:
        store = await to_store(shed)
        for size in ((120, 40), (80, 24)):
            await shed.resize(size)
            width = store.list.scrollable_content_region.width
            for row in store.list.rows:
                assert cell_len(store.list.text(row, width)) == width
            assert all(len(line) <= size[0] for line in shed.text.splitlines())


async def test_a_farm_with_nothing_in_the_cold_says_so(tmp_path: Path):
    path = write_tiny(tmp_path, history=False)
    async with opened(path, date(2026, 9, 1)) as shed:
        store = await to_store(shed)
        assert store.lots == []
        for key in ("n", "d", "t", "enter"):
            await shed.press(key)
        shed.on_top(ColdScreen)
        assert written(path) == []
        assert "no lot is under treatment" in store.foot
        assert "No seed is under treatment" in store.facts


async def find_narrows_to_a_lot_and_escape_shows_all(shed: Shed) -> None:
    store = await to_store(shed)
    await shed.press("slash", *"pale", "enter")
    assert store.lots == ["Z3"]
    await shed.press("escape")
    assert store.lots == ["Z2", "Z3", "Z1"]


async def enter_opens_the_whole_chain(shed: Shed) -> None:
    store = await to_store(shed)
    await store.go("Z2")
    await shed.press("enter")
    shed.on_top(PageScreen)
    assert "stratify cold" in shed.text
    assert "sow" in shed.text


async def the_page_of_keys_names_every_key_and_sign(shed: Shed) -> None:
    await shed.resize((100, 60))
    await to_store(shed)
    await shed.press("question_mark")
    for binding in bindings(ColdScreen):
        assert explained(shed.text, binding)
    for sign in (WARM_GONE, WARM_LEFT, COLD_GONE, COLD_LEFT, HERE, LEAST, READY, MOST, SEEN):
        assert sign in shed.text


async def test_what_the_cold_store_shows(tiny: Path):
    async with opened(tiny) as shed:
        await in_turn(
            shed,
            three_shows_each_lot_under_treatment_and_one_goes_back,
            every_line_fits_80_columns_and_names_its_phase_in_words,
            find_narrows_to_a_lot_and_escape_shows_all,
            enter_opens_the_whole_chain,
            the_page_of_keys_names_every_key_and_sign,
        )


# -- the bar


def test_the_bar_shows_the_day_the_least_and_the_most(tiny: Path):
    """Day 14 of 30 to 90, in 91 cells: a cell a day, and in 13 a week each."""
    lot = next(lot for lot in lots_on(tiny) if lot.lot.id == "Z2")
    drawn = bar(lot, TODAY, 91)
    assert (drawn.index(HERE), drawn.index(LEAST), drawn.index(MOST)) == (14, 30, 90)
    assert set(drawn[:14]) == {COLD_GONE}
    assert set(drawn[15:30]) == {COLD_LEFT}
    assert set(drawn[31:90]) == {READY}
    short = bar(lot, TODAY, 13)
    assert (len(short), short.index(HERE), short.index(LEAST), short.index(MOST)) == (13, 2, 4, 12)


def test_the_bar_parts_the_warm_from_the_cold(tmp_path: Path):
    path = write_tiny(tmp_path, TWO_PHASES, history=False)
    for step in ("soak", "stratify warm"):
        tell(path, "done", date(2026, 12, 1), batch="Z1", step=step, count=100)
    lot = next(lot for lot in lots_on(path, date(2026, 12, 11)) if lot.lot.id == "Z1")
    assert lot.phase == "warm"
    start = lot.phases[1].start
    assert start is not None
    warm, length = (start - date(2026, 12, 1)).days, (start - date(2026, 12, 1)).days + 91
    drawn = bar(lot, date(2026, 12, 11), length)
    assert drawn[:10] == WARM_GONE * 10
    assert drawn[10] == HERE
    assert drawn[11:warm] == WARM_LEFT * (warm - 11)
    assert drawn[warm : warm + 30] == COLD_LEFT * 30


def test_the_bar_keeps_its_width_on_any_day(tiny: Path):
    for days in range(-30, 160, 10):
        for lot in lots_on(tiny, day := TODAY + timedelta(days)):
            assert [cell_len(bar(lot, day, cells)) for cells in (1, 2, 3, 14, 40, 200)] == [1, 2, 3, 14, 40, 200]


# -- what its keys record


async def test_a_look_is_recorded_with_one_key(tiny: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        for n, (key, finding) in enumerate(LOOKS.items()):
            await store.go("Z2")
            await shed.press(key)
            [made] = written(tiny)[2 * n :]  # the looks before it and their undoing stand too
            assert made == ("look", {"batch": "Z2", "step": "stratify cold", "finding": finding})
            last = store.lot("Z2").last_look
            assert last is not None
            assert (last.day, last.finding) == (TODAY, finding)
            assert store.lot("Z2").next_look != TODAY
            assert f"looked at stratify cold: {finding}" in store.foot
            await shed.press("u")
            assert store.lot("Z2").last_look is None


async def test_radicles_put_the_lot_first_and_say_so_in_words(tiny: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        await store.go("Z3")
        before = store.lots
        await shed.press("r")
        assert store.lots == before
        assert "radicles seen 18 Jan before sow opens 1 Apr" in store.facts
        await shed.press("1", "3")  # lines keep their places until the screen is left
        assert store.lots[0] == "Z3"
        assert " radicles " in store.list.text(store.list.rows[1], 80)
        assert "1 with radicles" in shed.text


async def test_bone_dry_begins_anew_or_loses_the_lot(tiny: Path, tmp_path: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        await store.go("Z2")
        await shed.press("b")
        assert store.lot("Z2").now.lasts.least == 44  # 14 days gone, and 30
    (tmp_path / "oak").mkdir()
    async with opened(write_tiny(tmp_path / "oak", ACORNS)) as shed:
        store = await to_store(shed)
        await store.go("Z2")
        await shed.press("b")
        assert "the lot is lost" in store.facts
        await shed.press("1", "3")
        assert store.lots[-1] == "Z2"
        assert " lost " in store.list.text(store.list.rows[-1], 80)
        assert all(plan.lot.id != "Z2" for plan in shed.app.plans())
        await shed.press("u")
        assert store.lot("Z2").phase == "cold"


async def test_a_look_at_what_has_not_begun_is_refused(tiny: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        await store.go("Z1")
        await shed.press("n")
        assert "Z1 has not begun" in store.foot
        assert written(tiny) == []


async def test_d_records_what_follows(tiny: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        await store.go("Z2")
        await shed.press("d")
        form = shed.on_top(FormScreen)
        assert "Done: sow" in shed.text
        assert form.query_one("#count", Input).value == "80"
        await shed.save()
        assert written(tiny) == [("done", {"batch": "Z2", "step": "sow", "count": 80})]
        assert store.lots == ["Z3", "Z1"]
        await store.go("Z1")
        await shed.press("d")
        assert "Done: stratify cold" in shed.text
        assert "soak not recorded: skipped" in shed.text


async def test_d_ends_the_warm_with_the_cold(tmp_path: Path):
    path = write_tiny(tmp_path, TWO_PHASES, history=False)
    for step in ("soak", "stratify warm"):
        tell(path, "done", date(2026, 12, 10), batch="Z1", step=step, count=100)
    async with opened(path) as shed:
        store = await to_store(shed)
        await store.go("Z1")
        assert store.lot("Z1").phase == "warm"
        await shed.press("d")
        assert "Done: stratify cold" in shed.text


async def test_t_writes_a_note(tiny: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        await store.go("Z2")
        await shed.press("t")
        await shed.fill(text="smells of [yeast]")
        await shed.save()
        assert written(tiny) == [("note", {"batch": "Z2", "text": "smells of [yeast]"})]
        assert "smells of [yeast]" in store.facts


async def test_o_records_an_outage_and_says_what_it_means_for_each_lot(tiny: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        await shed.press("o")
        form = shed.on_top(FormScreen)
        assert form.query_one("#place", Input).value == "cold store"
        await shed.fill(days="3", degrees="12")
        await shed.save()
        shed.on_top(ColdScreen)
        assert written(tiny) == [("outage", {"place": "cold store", "days": 3, "temperature_c": 12})]
        assert "Z2: add the days; Z3: add the days" in store.foot
        assert [store.lot(n).now.lasts.least for n in ("Z2", "Z3")] == [33, 33]
        assert "minimum is now day 33, not 30" in store.facts
        await shed.press("u")
        assert store.lot("Z2").now.lasts.least == 30


async def test_an_outage_that_cannot_be_is_refused_in_the_form(tiny: Path):
    async with opened(tiny) as shed:
        await to_store(shed)
        await shed.press("o")
        await shed.refuses([
            ({"place": "cold stroe", "days": "3", "degrees": "12"}, "cold store"),
            ({"days": "0", "degrees": "12"}, "from 1 to 366 days"),
            ({"days": "three", "degrees": "12"}, "must be 0 or more"),
            ({"days": "3", "degrees": ""}, "not a number of degrees"),
            ({"days": "3", "degrees": "nan"}, "not a number of degrees"),
            ({"days": "3", "degrees": "412"}, "from -40 to 50"),
            ({"days": "3", "degrees": "12", "on": "2027-01-19"}, "still to come"),
        ])  # fmt: skip
        assert written(tiny) == []


async def test_one_key_answers_for_all_lots_that_are_marked_and_one_undo_takes_it_back(tiny: Path):
    async with opened(tiny) as shed:
        store = await to_store(shed)
        for lot in ("Z2", "Z3"):
            await store.go(lot)
            await shed.press("space")
        assert "[2 marked]" in store.foot
        await shed.press("r")
        assert sorted(str(told["batch"]) for _, told in written(tiny)) == ["Z2", "Z3"]
        assert all(store.lot(lot).radicles == TODAY for lot in ("Z2", "Z3"))
        await shed.press("u")
        assert all(store.lot(lot).last_look is None for lot in ("Z2", "Z3"))


async def test_what_follows_is_done_for_all_that_are_marked(tiny: Path):
    async with opened(tiny, date(2027, 4, 5)) as shed:
        store = await to_store(shed)
        for lot in ("Z2", "Z3"):
            await store.go(lot)
            await shed.press("space")
        await shed.press("d", "enter")
        done = {str(told["batch"]): told for kind, told in written(tiny) if kind == "done"}
        assert {lot: (told["step"], told["count"]) for lot, told in done.items()} == {
            "Z2": ("sow", 80),
            "Z3": ("sow", 60),
        }
