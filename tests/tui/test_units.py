"""A farm that counts in American units: what is computed for it is said in them, and what is typed is read in them."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Input, Label

from engine.needs.planting_outlook import grown_of
from engine.views.planting import planting_view
from tests.tui.conftest import Call
from tests.tui.farms import TODAY, open_house
from tests.tui.screens.cold.test_screen import to_store, written
from tests.tui.screens.needs.office import FARM, to_office, write
from tests.tui.screens.needs.office import TODAY as OFFICE_DAY
from tests.tui.shed import opened
from tui.forms.form import FormScreen
from tui.paper.planting_plan import plan_of, scale_bar
from tui.screens.needs.form import NeedForm
from tui.strips.planting_map import planting_map

METRIC = re.compile(r"[\d.] (?:°C|cm|m²|kg|g|litres?)\b|, litres|m of row|m²|[\d.] m (?:high|apart)")
SPRING = date(2027, 4, 6)


def in_us(path: Path) -> Path:
    text = re.sub(r'^units = "metric"\n', "", path.read_text(encoding="utf-8"), flags=re.M)
    path.write_text(text.replace("[farm]\n", '[farm]\nunits = "us"\n', 1), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("room",), ["cold store, gallons", "nursery beds, ft of row", "seed beds, sq ft", "984 ft of row"]),
        (("cold",), []),
        (("week",), []),
        (("ways", "Corylus avellana", "100"), ["lb), ", "gallons, seed beds", "sq ft"]),
    ],
)
def test_no_sheet_of_an_american_farm_prints_a_metric_figure(
    call: Call, demo: Callable[[date], Path], words: tuple[str, ...], told: list[str]
):
    status, out, err = call(words[0], in_us(demo(SPRING)), *words[1:], "--on", SPRING)
    assert (status, err) == (0, "")
    assert not METRIC.search(out), METRIC.findall(out)
    assert [each for each in told if each not in " ".join(out.split())] == []


def test_the_species_page_gives_its_figures_in_the_units_of_the_farm(call: Call, demo: Callable[[date], Path]):
    path = demo(SPRING)
    said = ["grows 3 to 6 m high", "set 3 to 4.6 m apart", "seeds a kg", "hardy to -32 °C", "warmth 1 to 4 °C"]
    also = [
        "grows 9.8 to 20 ft high",
        "set 9.8 to 15 ft apart",
        "seeds a lb",
        "hardy to -25.6 °F",
        "warmth 34 to 39 °F",
    ]
    for told, other in ((said, also), (also, said)):
        out = " ".join(call("species", "Corylus avellana", path, "--on", SPRING)[1].split())
        assert [each for each in told if each not in out] == []
        assert [each for each in other if each in out] == []
        in_us(path)


def test_an_outage_is_typed_and_told_in_degrees_fahrenheit_and_kept_in_celsius(call: Call, tiny: Path):
    status, out, _ = call("outage", in_us(tiny), "cold store", "3", "53.6", "--on", TODAY)
    assert (status, out.splitlines()[0]) == (0, "cold store at 53.6 °F for 3 days (18 Jan)")
    assert open_house(tiny).records.outages[-1].temperature_c == 12
    sheet = call("cold", tiny, "--on", TODAY)[1]
    assert "°C" not in sheet
    advice = json.loads(call("cold", tiny, "--on", TODAY, "--json")[1])["lots"][0]["advice"]
    assert any("3 days at 53.6 °F" in each for each in advice)
    assert "at 53.6 °F for 3 days" in call("entries", tiny, "--on", TODAY)[1]
    assert "undone: cold store at 53.6 °F for 3 days" in call("undo", tiny, "--on", TODAY)[1]


def test_the_scale_of_a_planting_is_in_feet(demo: Callable[[date], Path]):
    house = open_house(demo(SPRING))
    records = house.nursery.records
    view = planting_view(house.nursery, house.farm.plantings[0], SPRING, grown_of(house.farm, records))
    assert re.search(r"┤ \d+ ft ", planting_map(view, 10, 90, 20, None, "us")[-1])
    assert re.search(r"┤ \d+ m ", planting_map(view, 10, 90, 20, None)[-1])
    plan = plan_of(view, 10, "us")
    assert plan is not None
    metres, said = scale_bar(plan)
    assert said == f"{metres / 0.3048:.0f} ft"
    assert metres <= plan.width / 3


async def test_a_day_in_numbers_is_shown_in_words_before_it_is_saved(tiny: Path):
    async with opened(in_us(tiny)) as shed:
        await to_store(shed)
        await shed.press("o")
        form = shed.on_top(FormScreen)
        await shed.fill(days="3", degrees="53.6", on="1/12/27")
        await shed.press("ctrl+s")
        assert shed.on_top(FormScreen) is form
        assert form.query_one("#on", Input).value == "12 Jan 2027"
        assert "1/12/27 is 12 Jan 2027" in str(form.query_one(".refusal", Label).render())
        assert written(tiny) == []
        await shed.save()
        assert written(tiny) == [("outage", {"place": "cold store", "days": 3, "temperature_c": 12})]
        assert open_house(tiny).records.outages[-1].last == date(2027, 1, 12)


async def test_a_need_by_a_day_in_numbers_is_shown_in_words_on_the_way_to_the_next_field(tmp_path: Path):
    home = in_us(write(tmp_path, "[farm]\n", *FARM))
    async with opened(home, OFFICE_DAY) as shed:
        office = await to_office(shed)
        await office.press("b", *"arbor", "enter", "enter")
        form = shed.on_top(NeedForm)
        await office.fill(count="25", by="3/12")
        await office.press("enter", "enter")
        assert form.value("by") == "12 Mar"
        await office.press("enter", "enter", "enter", "enter", "enter")
        await office.settle()
        assert [data["by"] for _, data in written(home)] == ["2027-03-12"]
