"""The commands of the cold store: its figures, its sheet, and an outage recorded."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from engine.journal.store import journal_folder, read_journal
from engine.views.cold import cold_view
from tests.sampled import sampled
from tests.tui.conftest import Call
from tests.tui.farms import TINY, TODAY, open_house, write_tiny
from tui.paper.cold import cold_sheet
from tui.strips.treatment import HERE, LEAST


def written(path: Path) -> list[tuple[str, dict[str, object]]]:
    return [(e.kind, dict(e.data)) for e in read_journal(journal_folder(path))[0] if e.id.startswith("bench-")]


def test_cold_gives_the_figures_of_each_lot(tiny: Path, call: Call):
    status, out, _ = call("cold", tiny, "--on", TODAY, "--json")
    assert status == 0
    lots = json.loads(out)["lots"]
    assert [lot["batch"] for lot in lots] == ["Z2", "Z3", "Z1"]
    settled = ("batch", "species", "phase", "day", "days_min", "days_max", "next_look", "ready", "sow_by")
    assert {name: lots[0][name] for name in settled} == {
        "batch": "Z2",
        "species": "Fictus ripensis",
        "phase": "cold",
        "day": 14,
        "days_min": 30,
        "days_max": 90,
        "next_look": "2027-01-18",
        "ready": "2027-02-03",
        "sow_by": "2027-04-04",
    }
    assert lots[2]["day"] is None
    assert (lots[0]["days_best"], lots[0]["stage"]) == (None, None)


def test_the_sheet_and_the_figures_say_how_far_the_cold_is(tmp_path: Path, call: Call):
    path = write_tiny(tmp_path, TINY.replace("lasts_days = [30, 90]", "lasts_days = [30, 90]\nbest_days = [40, 60]"))
    for on, stage in (("2027-02-04", "enough"), ("2027-02-20", "best"), ("2027-04-20", "too long")):
        lot = json.loads(call("cold", path, "--on", on, "--json")[1])["lots"][0]
        assert (lot["batch"], lot["days_best"], lot["stage"]) == ("Z2", [40, 60], stage)
        [line] = [line for line in call("cold", path, "--on", on)[1].splitlines() if line.startswith("Z2")]
        assert f" {stage} " in line


def test_the_sheet_fits_80_columns_and_has_a_bar_for_each_lot(tiny: Path, call: Call):
    status, out, _ = call("cold", tiny, "--on", TODAY)
    assert status == 0
    assert all(len(line) <= 80 for line in out.splitlines())
    drawn = [line for line in out.splitlines() if line.startswith(("Z1", "Z2", "Z3"))]
    assert len(drawn) == 3
    assert all(LEAST in line for line in drawn)
    assert [HERE in line for line in drawn] == [True, True, False]


@pytest.mark.parametrize("on", sampled([date(2027, 2, 20), date(2026, 5, 20), date(2027, 3, 20)], 3), ids=str)
def test_the_sheet_of_the_demo_fits_80_columns(demo_of: Callable[[date], Path], on: date):
    house = open_house(demo_of(on))
    sheet = cold_sheet(house.farm, cold_view(house.day(on)), on)
    assert all(len(line) <= 80 for line in sheet.splitlines())
    assert house.farm.name in sheet


@pytest.mark.parametrize("degrees", ["12", "12C", "12 °C", "12.0"])
def test_outage_is_recorded_from_the_command(tiny: Path, call: Call, degrees: str):
    status, out, _ = call("outage", tiny, "Cold Store", "3", degrees, "--on", TODAY)
    assert status == 0
    first, *lots = out.splitlines()
    assert first == "cold store at 12 °C for 3 days (18 Jan)"
    assert [line.strip().split(":")[0] for line in lots] == ["Z2", "Z3"]  # what it means for each lot that stood there
    assert written(tiny) == [("outage", {"place": "cold store", "days": 3, "temperature_c": 12})]
    assert json.loads(call("cold", tiny, "--on", TODAY, "--json")[1])["lots"][0]["days_min"] == 33


def test_frost_is_written_with_its_sign(tiny: Path, call: Call):
    assert call("outage", tiny, "cold store", "2", "-4.5", "--on", TODAY)[0] == 0
    assert written(tiny)[0][1]["temperature_c"] == -4.5


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("cold stroe", "3", "12"), "cold store"),
        (("cold store", "3.5", "12"), "must be 0 or more"),
        (("cold store", "3", "warm"), "not a number of degrees"),
        (("3",), "usage: widger outage [FARM] PLACE DAYS DEGREES"),
    ],
)
def test_an_outage_that_cannot_be_read_is_refused(tiny: Path, call: Call, words: tuple[str, ...], told: str):
    status, out, err = call("outage", tiny, *words, "--on", TODAY)
    assert (status, out) == (2, "")
    assert told in err
    assert written(tiny) == []


def test_dry_through_is_recorded_from_the_command(tiny: Path, call: Call):
    assert call("look", tiny, "Z2", "stratify cold", "dry through", "--on", TODAY)[0] == 0
    assert json.loads(call("cold", tiny, "--on", TODAY, "--json")[1])["lots"][0]["batch"] == "Z3"
