"""`widger need`, `widger amend` and `widger withdraw`: what they record, what they print, what they refuse."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from engine.farm.stock import Need
from tests.engine.needs.homes import CUTTINGS, PLACES, batch, need, stock
from tests.engine.schedule.farms import NORTH
from tests.tui.commands.test_record import written
from tests.tui.conftest import Call
from tests.tui.farms import open_house

TODAY = date(2027, 1, 10)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    path = tmp_path / "farm.toml"
    path.write_text("".join((NORTH, PLACES, CUTTINGS, stock("S1", 40), batch("B"), need("N1", 30))), encoding="utf-8")
    return path


def needs(path: Path) -> dict[str, Need]:
    return {need.id: need for need in open_house(path).nursery.farm.needs}


def test_need_adds_one_that_the_needs_then_show(call: Call, home: Path):
    given = ("--by", "2027-12-20", "--sure", "80%", "--for", "Hale Orchards", "--form", "bare root", "--on", TODAY)
    status, out, err = call("need", home, "HALE", "Arbor ficta", "25", *given)
    assert (status, err) == (0, "")
    assert out == "HALE: wanted, 25 Arbor ficta, bare root, by 20 Dec 27, 80 % sure, for Hale Orchards (10 Jan)\n"
    assert needs(home)["HALE"] == Need(
        "HALE", "Arbor ficta", "", "bare root", 25, date(2027, 12, 20), 0.8, "Hale Orchards"
    )
    told = json.loads(call("needs", home, "--on", TODAY, "--json")[1])
    assert [(n["id"], n["on_hand"]) for n in told["needs"]] == [("HALE", 25), ("N1", 15)]
    assert call("check", home, "--on", TODAY)[0] == 0


def test_its_json_is_the_entry_as_it_was_written(call: Call, home: Path):
    told = json.loads(call("need", home, "H2", "hazel", "9", "--cultivar", "Lane", "--on", TODAY, "--json")[1])
    assert (told["kind"], told["need"], told["species"], told["cultivar"]) == ("need", "H2", "Corylus avellana", "Lane")
    assert "sure" not in told  # 90 %, as in the farm file


def test_amend_changes_what_is_given_and_none_takes_the_day_away(call: Call, home: Path):
    status, out, _ = call("change", home, "n1", "--count", "12", "--by", "none", "--for", "Ash", "--on", TODAY)
    assert (status, out) == (0, "N1: now 12 of it, whenever, for Ash (10 Jan)\n")
    found = needs(home)["N1"]
    assert (found.count, found.by, found.who, found.sure) == (12, None, "Ash", 0.9)


def test_withdraw_ends_a_need_of_the_farm_file_and_undo_brings_it_back(call: Call, home: Path):
    before = home.read_bytes()
    status, out, _ = call("withdraw", home, "N1", "--reason", "they bought in", "--on", TODAY)
    assert (status, out) == (0, "N1: withdrawn, they bought in (10 Jan)\n")
    assert "N1" not in needs(home)
    assert call("undo", home)[0] == 0
    assert "N1" in needs(home)
    assert home.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("need", "H2", "hazle", "9"), "hazel"),
        (("need", "n1", "hazel", "9"), '"N1" has already been used'),
        (("need", "H2", "hazel", "0"), "from 1 to"),
        (("need", "H2", "hazel", "many"), "must be 0 or more"),
        (("need", "H2", "hazel", "9", "--by", "2027-01-09"), "has passed"),
        (("need", "H2", "hazel", "9", "--by", "soon"), "is not a date"),
        (("need", "H2", "hazel", "9", "--sure", "100"), "is not between 0 and 100"),
        (("need", "H2", "hazel"), "ID SPECIES COUNT"),
        (("change", "N1"), "say what changes"),
        (("change", "N2", "--count", "9"), "N1"),
        (("change", "N1", "--count", "30"), "nothing about N1 would change"),
        (("withdraw", "N2"), "N1"),
        (("withdraw",), "usage: widger withdraw [FARM] ID"),
    ],
)
def test_what_cannot_be_is_refused(call: Call, home: Path, words: tuple[str, ...], told: str):
    status, out, err = call(words[0], home, *words[1:], "--on", TODAY)
    assert (status, out) == (2, "")
    assert told in err
    assert written(home) == []


def test_what_two_devices_tell_of_one_need_is_merged_and_what_fits_no_more_is_told(
    call: Call, home: Path, monkeypatch: pytest.MonkeyPatch
):
    call("need", home, "HALE", "hazel", "25", "--on", TODAY)
    monkeypatch.setenv("WIDGER_DEVICE", "office")
    call("change", home, "HALE", "--count", "30", "--on", TODAY)
    assert needs(home)["HALE"].count == 30
    journal = home.parent / "farm.records"
    (journal / "bench.jsonl").rename(home.parent / "away")  # the other device's file has not come yet
    status, out, err = call("needs", home, "--on", TODAY)
    assert status == 1
    assert "HALE" not in out
    assert "amend HALE: there is no need with that id" in err
    (home.parent / "away").rename(journal / "bench.jsonl")
    assert call("needs", home, "--on", TODAY)[0] == 0
    assert needs(home)["HALE"].count == 30
