"""The first run: six answers make a farm file that opens; what is wrong is said as it is typed, and nothing written."""

from __future__ import annotations

import re
import tomllib
from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Input, Static

from engine.acts.action import Refused
from engine.almanac.frost import USUAL_DAYS
from engine.almanac.phrases import MarkBase, Phrase
from engine.farm.reading import read_farm
from engine.farm.region import zones_near
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import plan_lot
from engine.schedule.standing_work import standing_days
from tests.reference.tables import rows
from tests.tui.shed import screen_text
from tui.answers import batch_of, frost_of, hours_of, months_of, places_of, spread, where_of
from tui.farmhouse import Farmhouse, enter
from tui.first_batches import SOON
from tui.first_run import FirstRun
from tui.first_run_steps import STEPS
from tui.newfarm import NewFarm, read_new, write_new

ON = date(2026, 11, 10)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("52.31, -2.94", (52.31, -2.94)),
        ("52.31 -2.94", (52.31, -2.94)),
        ("45 5", (45.0, 5.0)),
        ("52° 18' 36\" N, 2° 56' 24\" W", (52.31, -2.94)),
        ("33.87 S 151.21 E", (-33.87, 151.21)),
        ("https://maps.example/@52.31,-2.94,12z", (52.31, -2.94)),
        ("https://maps.example/#map=12/52.31/-2.94", (52.31, -2.94)),
        ("https://maps.example/?mlat=-41.29&mlon=174.78", (-41.29, 174.78)),
    ],
)
def test_a_place_is_read_from_numbers_degrees_and_links(text: str, found: tuple[float, float]):
    assert where_of(text) == pytest.approx(found)


@pytest.mark.parametrize("text", ["", "Hay-on-Wye", "52.31", "95.1, 5.2", "1 2 3"])
def test_what_is_no_place_is_refused_with_the_remedy(text: str):
    with pytest.raises(Refused) as caught:
        where_of(text)
    assert caught.value.hint


@pytest.mark.parametrize(
    ("place", "zone"),  # the chief towns of their zones, by any atlas
    [
        ((51.5, -0.1), "Europe/London"), ((40.7, -74.0), "America/New_York"), ((48.9, 2.3), "Europe/Paris"),
        ((-41.3, 174.8), "Pacific/Auckland"), ((-33.9, 151.2), "Australia/Sydney"), ((41.9, -87.6), "America/Chicago"),
    ],
)  # fmt: skip
def test_the_zone_is_that_of_the_nearest_chief_town(place: tuple[float, float], zone: str):
    assert zones_near(*place)[0].zone == zone


def test_frost_dates_are_one_three_or_none():
    assert frost_of("8 May", True) == {"50%": "8 May"}
    assert frost_of("May 8", True) == {"50%": "8 May"}
    assert frost_of("24 Apr, 8 May, 22 May", True) == {"90%": "24 Apr", "50%": "8 May", "10%": "22 May"}
    assert frost_of("19 Sep / 3 Oct / 17 Oct", False) == {"10%": "19 Sep", "50%": "3 Oct", "90%": "17 Oct"}
    assert frost_of("none", True) == {}
    for text in ("", "8 May, 9 May"):
        with pytest.raises(Refused):
            frost_of(text, True)


def test_a_lone_frost_date_is_given_two_more_at_the_distance_of_published_normals():
    """NOAA NCEI (2011), U.S. Climate Normals 1981-2010, twelve stations: 90 to 50 % in spring, 50 to 90 % in autumn."""
    for table in ("last", "first"):
        rows = normals(table)
        assert round(sum(rows) / len(rows)) == USUAL_DAYS
        assert 11 <= min(rows) <= max(rows) <= 24
    assert spread({"50%": "8 May"}, True) == {"90%": "04-21", "50%": "05-08", "10%": "05-25"}
    assert spread({"50%": "3 Oct"}, False) == {"10%": "09-16", "50%": "10-03", "90%": "10-20"}
    assert spread({}, True) == {}
    three = {"90%": "24 Apr", "50%": "8 May", "10%": "22 May"}
    assert spread(three, True) == three


def test_a_farm_with_lone_frost_dates_dates_what_waits_for_the_last_frost_at_ten_percent(tmp_path: Path):
    path = tmp_path / "farm.toml"
    frosts = {"last_frost": spread({"50%": "8 May"}, True), "first_frost": spread({"50%": "3 Oct"}, False)}
    batch = {"id": "H26", "species": "Corylus avellana", "method": "seed", "count": 400}
    batch["route"] = "held cold, sown in spring"
    write_new(path, NewFarm(latitude=52.0, **frosts, frost_guessed=list(frosts), batches=[batch]), ON)
    assert path.read_text(encoding="utf-8").count("are a guess") == 2
    house = enter(path, ON)
    assert all(plan.now.fits for plan in house.plans(ON))


def normals(table: str) -> list[int]:
    """The days between the dates at 90 and 50 % (the last frost), 50 and 90 % (the first)."""
    a, b = ("last_90", "last_50") if table == "last" else ("first_50", "first_90")
    days = [[date.fromisoformat(f"2001-{row[key]}") for key in (a, b)] for row in rows("freeze_normals_1981_2010")]
    return [(late - early).days for early, late in days]


def test_twelve_months_places_and_hours():
    assert months_of("-0.4 1.1 5.6 13.1 19.7 24.4 26.6 25.9 21.7 15.0 8.6 2.1")[0] == -0.4
    assert months_of("") == ()
    with pytest.raises(Refused, match="11 numbers"):
        months_of("1 2 3 4 5 6 7 8 9 10 11")
    assert places_of("cold store, the lean-to (under cover), bottom bed") == {
        "cold store": True, "the lean-to": True, "bottom bed": False,
    }  # fmt: skip
    assert hours_of("12,5") == 12.5
    for wrong in ("", "0", "a few"):
        with pytest.raises(Refused):
            hours_of(wrong)


def test_a_batch_is_said_in_a_line():
    farm = read_new(NewFarm(batches=()), ON).farm
    assert farm is not None
    found = batch_of(farm, "400 hazel seed, held cold", ON, [])
    assert (found["count"], found["method"], found["id"]) == (400, "seed", "H26")
    assert "held cold" in str(found["route"])
    assert batch_of(farm, "60 American elder hardwood", ON, ["AE26"])["id"] == "AE26b"
    with pytest.raises(Refused, match="several routes") as caught:
        batch_of(farm, "400 hazel seed", ON, [])
    for n in (1, 2):  # the choices are numbered, and the number is taken, after a comma or without
        for text in (f"400 hazel seed, {n}", f"400 hazel seed {n}"):
            assert f"{n} {batch_of(farm, text, ON, [])['route']}" in str(caught.value.hint)
    with pytest.raises(Refused, match="several routes"):
        batch_of(farm, "400 hazel seed, 9", ON, [])
    with pytest.raises(Refused, match="not known"):
        batch_of(farm, "400 hazzel seed", ON, [])
    with pytest.raises(Refused, match="how many"):
        batch_of(farm, "hazel seed", ON, [])
    with pytest.raises(Refused, match='method "sede" is not known'):
        batch_of(farm, "40 hazel sede", ON, [])
    with pytest.raises(Refused, match="neither the library nor your file has T-bud for hazel"):
        batch_of(farm, "40 hazel T-bud", ON, [])


async def answer(pilot, **given: str) -> None:
    """Type into the fields of a step, and go on from the last."""
    for name, text in given.items():
        pilot.app.query_one(f"#{name}", Input).value = text
    list(pilot.app.query(Input))[-1].focus()
    await pilot.press("enter")
    await pilot.pause()


async def test_six_answers_make_a_farm_that_opens(tmp_path: Path):
    path = tmp_path / "farm.toml"
    app = FirstRun(path, ON)
    async with app.run_test(size=(80, 24)) as pilot:
        await answer(pilot, name="Hollow Lane", where="52.31, -2.94")
        assert app.at == 1
        await answer(pilot, last="24 Apr, 8 May, 22 May", first="3 Oct")
        assert app.at == 2
        await answer(pilot)
        await answer(pilot, places="cold store, nursery beds, the lean-to (under cover)")
        await answer(pilot, hours="12")
        assert not path.exists()
        await answer(pilot, b1="400 hazel seed, held cold", b2="60 American elder hardwood")
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    assert document["farm"] == {"name": "Hollow Lane", "units": "metric", "week_starts": "monday", "hours_per_week": 12}
    assert document["site"]["timezone"] == "Europe/London"
    assert document["site"]["last_frost"] == {"90%": "24 Apr", "50%": "8 May", "10%": "22 May"}
    assert [place["name"] for place in document["place"]][:3] == ["cold store", "nursery beds", "the lean-to"]
    assert [batch["id"] for batch in document["batch"]] == ["H26", "AE26"]
    assert "# One table for each lot" in path.read_text(encoding="utf-8")
    reading = read_farm(path)
    assert (reading.usable, reading.problems) == (True, ())


async def test_what_is_wrong_is_said_as_it_is_typed_and_stays_in_the_field(tmp_path: Path):
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(80, 24)) as pilot:
        app.query_one("#where", Input).value = "Hay-on-Wye"
        await pilot.pause()
        told = app.query_one("#told", Static)
        assert told.has_class("refused")
        assert "give latitude, then longitude" in screen_text(app)
        await answer(pilot)
        assert (app.at, app.query_one("#where", Input).value) == (0, "Hay-on-Wye")
        assert app.focused is app.query_one("#where", Input)
        app.query_one("#where", Input).value = "-41.29, 174.78"
        await pilot.pause()
        assert "Pacific/Auckland" in screen_text(app)
        await answer(pilot)
        await answer(pilot, last="8 May", first="3 Oct")  # the other hemisphere's
        assert app.at == 1
        assert "other hemisphere" in " ".join(screen_text(app).split())
        await pilot.press("escape")
        assert app.query_one("#where", Input).value == "-41.29, 174.78"
        await pilot.press("escape")
    assert app.return_value is None
    assert not (tmp_path / "farm.toml").exists()


async def test_a_file_that_came_meanwhile_is_left_as_it_is(tmp_path: Path):
    path = tmp_path / "farm.toml"
    app = FirstRun(path, ON)
    async with app.run_test(size=(80, 24)) as pilot:
        await answer(pilot, where="52.31, -2.94")
        await answer(pilot, last="none", first="none")
        for _ in STEPS[2:5]:
            await answer(pilot)
        path.write_text("mine", encoding="utf-8")
        await answer(pilot)
        assert "already exists" in screen_text(app)
    assert path.read_text(encoding="utf-8") == "mine"


WALNUT_DAY = date(2026, 11, 26)
"""After the nuts have fallen."""


async def to_page(pilot, page: int, where: str = "42.44, -76.50") -> None:
    """Go on to a page of the six, with usual answers."""
    await answer(pilot, where=where)
    if page > 2:
        await answer(pilot, last="Apr 24, May 8, May 22", first="Sep 19, Oct 3, Oct 17")
    for _ in range(page - 3):
        await answer(pilot)


async def test_a_farm_in_the_united_states_has_its_units_and_the_order_of_its_days(tmp_path: Path):
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(80, 24)) as pilot:
        app.query_one("#where", Input).value = "42.44, -76.50"
        await pilot.pause()
        told = " ".join(screen_text(app).split())
        assert "America/New_York; us" in told
        assert "2 America/Toronto (Canada)" in told
        app.query_one("#zone", Input).value = "2"
        await pilot.pause()
        assert "America/Toronto; metric" in screen_text(app)
        app.query_one("#zone", Input).value = "7"
        await pilot.pause()
        assert "none of the zones shown" in screen_text(app)
        await answer(pilot, zone="1")
        assert "May 8" in screen_text(app)
        assert "8 May" not in screen_text(app)


async def test_the_field_that_is_typed_into_is_the_first_is_marked_and_keeps_what_stands_there(tmp_path: Path):
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "▸ the farm's name" in screen_text(app)
        assert "Enter next" in screen_text(app)
        await pilot.press("end", *" 2", "enter")
        assert app.query_one("#name", Input).value == "My nursery 2"
        assert "▸ latitude" in screen_text(app)
        assert "▸ the farm's name" not in screen_text(app)
        assert app.query_one("#where", Input).styles.background != app.query_one("#name", Input).styles.background


@pytest.mark.parametrize(("set_to", "dark"), [("light", False), ("", True)])
async def test_the_first_run_has_the_look_of_the_app(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, set_to: str, dark: bool
):
    monkeypatch.setenv("WIDGER_THEME", set_to)
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(80, 24)):
        assert app.current_theme.dark is dark


async def test_a_fault_is_told_and_the_first_run_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(FirstRun, "_tell", lambda _: 1 / 0)
        app.query_one("#where", Input).value = "1"
        await pilot.pause()
        assert "a fault in Widger" in " ".join(screen_text(app).split())
        monkeypatch.undo()
        await answer(pilot, where="42.44, -76.50")
        assert app.at == 1


async def test_what_is_refused_is_said_beside_its_field(tmp_path: Path):
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_page(pilot, 6)
        await answer(pilot, b1="80 gooseberry hardwood, 1", b2="60 quincex seed")
        assert app.focused is app.query_one("#b2", Input)
        lines = [line.strip() for line in screen_text(app).splitlines()]
        below = lines.index("60 quincex seed") + 1
        assert any(line.startswith("!") and "quincex" in line for line in lines[below : below + 2])
        await pilot.press("backspace")
        await pilot.pause()
        assert not app.query(".fault.said")


async def test_the_places_of_the_batches_are_written_with_their_standing_work(tmp_path: Path):
    path = tmp_path / "farm.toml"
    app = FirstRun(path, WALNUT_DAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_page(pilot, 6)
        await answer(pilot, b1="100 black walnut seed, 2", b2="60 hardy kiwi softwood", b3="80 gooseberry hardwood, 1")
    farm = read_farm(path).farm
    assert farm is not None
    own = {place.name for place in farm.places}
    used = {farm.where(batch, step) for batch in farm.batches for step in batch.protocol.steps} - {""}
    assert {"mist bench", "seed beds"} & used
    assert used <= own
    assert {"seed beds"} <= {work.place for work in farm.standing}
    assert farm.under_cover("cold store")
    assert not farm.under_cover("seed beds")


async def test_a_batch_whose_window_is_over_says_so_and_begins_with_what_is_in_hand(tmp_path: Path):
    path = tmp_path / "farm.toml"
    app = FirstRun(path, WALNUT_DAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_page(pilot, 6)
        await pilot.press(*"100 black walnut seed, 2")
        await pilot.pause()
        told = " ".join(screen_text(app).split())
        assert "its next window: collect" in told
        assert "Sep 27" in told
        assert "in hand" in told
        await pilot.press(*", in hand")
        await pilot.pause()
        assert "collect is done" in screen_text(app)
        await answer(pilot)
    house = enter(path, WALNUT_DAY)
    assert isinstance(house, Farmhouse)
    (lot,) = house.nursery.records.lots
    assert lot.done["collect"].day == WALNUT_DAY
    first = plan_lot(house.nursery, lot, WALNUT_DAY).first_possible
    assert first is not None
    assert date.fromordinal(first[1]) - WALNUT_DAY < SOON
    assert house.problems(WALNUT_DAY) == ()


@pytest.mark.parametrize(("zone", "asked"), [("America/New_York", 1), ("Europe/Paris", 1), ("UTC", 0)])
def test_the_inspection_stands_before_leaves_drop_where_a_law_on_sending_is_known(zone: str, asked: int):
    """Utah Code 4-15-7: each nursery once a year at least; bare roots travel from leaf drop on."""
    farm = read_new(NewFarm(batches=(), timezone=zone), ON).farm
    assert farm is not None
    found = [work for work in farm.standing if "inspected" in work.do]
    assert len(found) == asked
    nursery = open_nursery(farm, apply(farm, ()))
    drop = nursery.almanac.first_from(Phrase(MarkBase("leaf drop"), 0, "leaf drop"), date(2027, 7, 1).toordinal())
    assert drop is not None
    for work in found:
        days = standing_days(nursery, work, date(2027, 6, 1), date(2028, 5, 31))
        assert days
        assert max(days).toordinal() < drop


def test_every_example_that_a_step_gives_of_a_batch_is_one():
    farm = read_new(NewFarm(batches=()), ON).farm
    assert farm is not None
    examples = [found[1] for ask in STEPS[-1].asks if (found := re.search(r"\((.+)\)", ask.label))]
    assert len(examples) == 3
    for example in examples:
        assert batch_of(farm, example, ON, [])["count"]


def test_a_frost_date_in_numbers_is_read_in_the_order_of_the_farm():
    assert frost_of("9/25", False, "us") == {"50%": "25 Sep"}
    assert frost_of("25/9", False) == {"50%": "25 Sep"}
    assert frost_of("4/24, 5/8, 5/22", True, "us") == {"90%": "24 Apr", "50%": "8 May", "10%": "22 May"}
