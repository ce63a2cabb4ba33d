"""The form for a new batch: names as they are typed, the ways side by side, and what is saved or refused."""

from __future__ import annotations

import itertools
from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.widgets import Input, Static

from engine.farm.protocols import species_named
from engine.schedule.plan import Day
from engine.views.ways import names_like, ways_view
from tests.tui.farms import TODAY, open_house, tell
from tests.tui.screens.batches.test_screen import Bench, to_bench
from tests.tui.screens.cold.test_screen import written
from tests.tui.shed import Shed, opened
from tui.screens.batches import form as forms
from tui.screens.batches.form import BatchForm
from tui.screens.batches.screen import BatchesScreen
from tui.typed_days import coming_day


class Sheet:
    """The form, open in front."""

    def __init__(self, shed: Shed, bench: Bench) -> None:
        self.shed, self.bench = shed, bench

    @property
    def form(self) -> BatchForm:
        return self.shed.on_top(BatchForm)

    @property
    def ways(self) -> list[str]:
        return [row.way.title for row in self.form.ways.rows]

    def shown(self, name: str) -> str:
        return str(self.form.query_one(f"#{name}", Static).render())

    async def fill(self, **values: str) -> None:
        for name, value in values.items():
            self.form.query_one(f"#{name}", Input).value = value
        await self.shed.pilot.pause()
        self.form.work_out()
        await self.shed.pilot.pause()

    async def press(self, *keys: str) -> None:
        await self.shed.press(*keys)


async def open_form(shed: Shed) -> Sheet:
    bench = await to_bench(shed)
    await shed.press("b")
    return Sheet(shed, bench)


async def test_typing_a_name_shows_the_matches_and_then_the_ways_side_by_side(tiny: Path):
    async with opened(tiny, size=(100, 34)) as shed:
        sheet = await open_form(shed)
        await sheet.press(*"haz")
        assert sheet.shown("matches").splitlines()[0] == "▸ hazel, Corylus avellana"
        assert "American hazel, Corylus americana" in sheet.shown("matches")
        await shed.until(lambda: sheet.shown("way-told"), "the ways")
        titles = [way for way in sheet.ways if way.startswith("seed")]
        assert len(titles) >= 2
        way = sheet.form.way
        assert way is not None
        assert way.title in sheet.shown("way-told")
        for words in ("first step", "ready", "share", "out", "90 %", "hours"):
            assert words in sheet.shown("way-head")


async def test_nothing_is_dated_while_one_types(tiny: Path, monkeypatch):
    asked: list[str] = []
    monkeypatch.setattr(forms, "ways_view", lambda n, species, *rest: asked.append(species.latin) or ())
    async with opened(tiny) as shed:
        sheet = await open_form(shed)
        monkeypatch.setattr(forms, "PAUSE", 60)
        await sheet.press(*"haz")
        assert asked == []
        monkeypatch.setattr(forms, "PAUSE", 0.01)
        await sheet.press("e")
        await shed.until(lambda: asked, "the ways of hazel")
        assert asked == ["Corylus avellana"]


async def test_up_and_down_choose_a_name_then_a_way_and_enter_saves_it(tiny: Path):
    async with opened(tiny) as shed:
        sheet = await open_form(shed)
        await sheet.press(*"haz", "down", "enter", "enter")
        assert sheet.form.query_one("#species", Input).value == "American hazel"
        assert sheet.form.focused is not None
        assert sheet.form.focused.id == "count"
        await sheet.fill(count="60", start="2027-02-01", cultivar="Lane")
        assert len(sheet.ways) > 1
        first = sheet.form.way
        await sheet.press("down")
        way = sheet.form.way
        assert way is not None
        assert way != first
        await sheet.press("enter", "enter", "enter")  # from how many to the id: nothing is saved on the way
        assert written(tiny) == []
        assert sheet.form.focused is not None
        assert sheet.form.focused.id == "id"
        onto = [] if sheet.form.query_one("#rootstock", Input).disabled else ["enter"]
        await sheet.press("enter", *onto, "enter")  # past what it is made of
        assert sheet.form.focused.id == "came"
        await sheet.press("enter")
        shed.on_top(BatchesScreen)
        [(kind, data)] = written(tiny)
        assert not {"rootstock", "from", "came"} & set(data)
        assert (kind, data["species"], data["count"]) == ("batch", "Corylus americana", 60)
        assert (data["method"], data.get("route", "")) == (way.protocol.method, way.protocol.route)
        assert (data["start"], data["cultivar"], data["batch"]) == ("2027-02-01", "Lane", "AH27-bench")
        line = sheet.bench.line("AH27-bench")
        assert line.ready == way.ready  # what was shown is what it then is
        row = sheet.bench.list.row
        assert row is not None
        assert row.key == "lot AH27-bench"
        assert "AH27-bench: new batch, 60 Corylus americana" in sheet.bench.foot
        await sheet.press("u")
        assert "AH27-bench" not in sheet.bench.lots


async def test_what_a_graft_is_made_of_is_asked_for_and_of_seed_no_rootstock(tiny: Path):
    async with opened(tiny) as shed:
        sheet = await open_form(shed)
        await sheet.fill(species="pear", start="2027-02-01", id="P1")
        rootstock = sheet.form.query_one("#rootstock", Input)
        grafts = {row.way.title: bool(row.way.protocol.onto) for row in sheet.form.ways.rows}
        assert set(grafts.values()) == {True, False}
        sheet.form.query_one("#id", Input).focus()  # in the field of the plant, down goes through the names
        await sheet.press()
        for _ in grafts:
            way = sheet.form.way
            assert way is not None
            assert rootstock.disabled == (not grafts[way.title])
            await sheet.press("down")
        first = next(n for n, row in enumerate(sheet.form.ways.rows) if row.way.protocol.onto)
        await sheet.press(*["up"] * len(grafts), *["down"] * first)
        await sheet.press("enter", *"Quince", "enter", *"Hale", "enter", *"5 Jan", "enter")
        shed.on_top(BatchesScreen)
        [(_, data)] = written(tiny)
        assert (data["rootstock"], data["from"], data["came"]) == ("Quince", "Hale", "2027-01-05")


async def test_saving_before_the_ways_were_dated_does_so_all_the_same(tiny: Path, monkeypatch):
    monkeypatch.setattr(forms, "PAUSE", 60)
    async with opened(tiny) as shed:
        sheet = await open_form(shed)
        sheet.form.query_one("#species", Input).value = "bankside"
        await sheet.press("enter")
        sheet.form.query_one("#id", Input).value = "N9"
        await sheet.press("ctrl+s")
        shed.on_top(BatchesScreen)
        assert [data["batch"] for _, data in written(tiny)] == ["N9"]


async def test_the_id_follows_the_plant_and_the_year_in_which_it_starts_until_one_is_given(tiny: Path):
    async with opened(tiny) as shed:
        sheet = await open_form(shed)
        await sheet.fill(species="hazel")
        assert sheet.form.value("id") == "H27-bench"
        await sheet.fill(start="2028-01-05")
        assert sheet.form.value("id") == "H28-bench"
        await sheet.fill(species="hazel", start="", ready="2031-11-01")
        way = sheet.form.way
        assert way is not None
        assert way.first is not None
        assert way.first.year < 2031
        assert sheet.form.value("id") == f"H{way.first:%y}-bench"
        await sheet.fill(start="", ready="2027-03-01")  # which cannot be met: told with a sign and in words
        assert all(sheet.form.ways.paint(row, 90)[0].startswith("!") for row in sheet.form.ways.rows)
        assert "! cannot be ready by 1 Mar 27" in sheet.shown("way-told")
        await sheet.fill(id="mine")
        await sheet.fill(species="elder")
        assert sheet.form.value("id") == "mine"


async def test_enter_goes_field_by_field_and_a_number_is_no_day_and_moves_nobody(tiny: Path):
    async with opened(tiny) as shed:
        sheet = await open_form(shed)
        await sheet.press(*"hazel")
        seen = []
        for _ in range(4):
            await sheet.press("enter")
            assert sheet.form.focused is not None
            seen.append(sheet.form.focused.id)
        assert seen[:3] == ["cultivar", "count", "start"]
        await sheet.fill(start="60")
        assert '"60" is a number, not a day' in shed.refusal
        assert sheet.form.focused is not None
        assert sheet.form.focused.id == seen[-1]  # who types elsewhere stays there


REFUSED = [
    ({"species": ""}, "which plant?"),
    ({"species": "zzzz"}, 'no plant is called "zzzz"'),
    ({"count": "0"}, "how many: from 1 to"),
    ({"count": ""}, "how many? write a number"),
    ({"start": "soon"}, "is not a day"),
    ({"start": "", "ready": ""}, "a start or a ready date"),
    ({"ready": "2027-01-01"}, "is before start"),
    ({"id": "z1"}, '"Z1" is already taken'),
    ({"came": "once"}, "is not a day"),
]


async def test_tab_goes_from_field_to_field_and_what_cannot_be_is_refused_and_not_written(tiny: Path):
    good = {"species": "hazel", "id": "N1", "count": "100", "start": "2027-01-18", "ready": "", "came": ""}
    async with opened(tiny) as shed:
        sheet = await open_form(shed)
        seen = []
        for _ in range(6):
            assert sheet.form.focused is not None
            seen.append(sheet.form.focused.id)
            await sheet.press("tab")
        assert seen == ["species", "cultivar", "count", "start", "ready", "id"]
        for filled, told in REFUSED:
            await sheet.fill(**{**good, **filled})
            sheet.form.action_save()
            assert told in shed.refusal, filled
        assert written(tiny) == []
        await sheet.fill(**good)
        assert shed.refusal == ""  # what is typed wipes the refusal
        tell(tiny, "batch", TODAY, device="office", batch="N1", species="hazel", method="seed", count=5,
             start="2027-02-01")  # fmt: skip
        sheet.form.action_save()
        assert '"N1" is already taken' in shed.refusal  # what another device added meanwhile is not added twice
        await sheet.press("h", "escape")
        shed.on_top(BatchesScreen)
        assert written(tiny) == []


async def test_the_form_is_whole_at_either_size(tiny: Path):
    async with opened(tiny, size=(120, 40)) as shed:
        sheet = await open_form(shed)
        for plant, size in itertools.product(("apple", "elder", "sea kale"), ((120, 40), (80, 24))):
            await shed.resize(size)
            await sheet.fill(species=plant)
            for words in ("Esc cancel", "how many", "ready by"):
                assert words in shed.text
            width = sheet.form.ways.size.width
            rows = sheet.form.ways.rows
            assert rows
            assert sheet.form.ways.size.height >= 3
            assert {cell_len(sheet.form.ways.paint(row, width)[0]) for row in rows} == {width}
            assert all(cell_len(line) <= size[0] for line in shed.text.splitlines())


# -- what it rests on


def test_a_plant_is_found_by_any_of_its_names_in_part_or_a_letter_off(tiny: Path):
    named = {
        "elder": "Sambucus nigra",
        "ELDER": "Sambucus nigra",
        "corylus av": "Corylus avellana",
        "sea kale": "Crambe maritima",
        "comon alder": "Alnus glutinosa",
        "bankside": "Fictus ripensis",
        "ripensis": "Fictus ripensis",
    }
    farm = open_house(tiny).farm
    assert {words: names_like(farm, words, 5)[0].latin for words in named} == named


def test_no_words_mean_no_plant(tiny: Path):
    assert names_like(open_house(tiny).farm, "  ", 5) == ()
    assert names_like(open_house(tiny).farm, "qqqq", 5) == ()


def test_the_farms_own_plants_are_raised_as_the_farm_says(tiny: Path):
    """By hand: 100 seeds soaked at 100 an hour take an hour; half of what is sown comes up."""
    house = open_house(tiny)
    species = species_named(house.farm, "bankside fig")
    assert species is not None
    [way] = ways_view(Day(house.nursery, (), TODAY), species, "", 100, date(2027, 2, 1), None)
    assert (way.title, way.step, way.first) == ("seed", "soak", date(2027, 2, 1))
    assert (way.share, way.likely, way.hours) == (0.5, 50, 1.0)
    assert way.ready == date(2027, 4, 1)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("", None),
        ("1 Nov", date(2027, 11, 1)),
        ("18 Jan", date(2027, 1, 18)),
        ("17 Jan", date(2028, 1, 17)),
        ("2026-12-01", date(2026, 12, 1)),
        ("31 Dec 2029", date(2029, 12, 31)),
        ("1 mar. 2026", date(2026, 3, 1)),
        ("today", date(2027, 1, 18)),
    ],
)
def test_a_day_without_a_year_is_the_next_to_come(text: str, day: date | None):
    assert coming_day(text, TODAY) == day
