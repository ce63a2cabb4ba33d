"""Labels of the lots that go through no protocol: there at the start, bought in, collected, split off."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from engine.records.records import Records
from tests.sampled import sampled
from tests.tui.conftest import Call
from tests.tui.farms import TINY, TODAY, open_house, tell, write_tiny
from tests.tui.paper.labels.paper import codes, ink, strays, words
from tui.paper.labels.label import Label
from tui.paper.labels.lots import choose
from tui.paper.labels.order import ordered
from tui.paper.labels.pdf import make_pdf
from tui.paper.labels.sheets import SHEETS, Sheet, find_sheet
from tui.paper.labels.text import text_label

OPENING = """
[[stock]]
species = "Fictus montana"
cultivar = "Grey"
form = "1 L pot"
grade = "first"
place = "stock beds"
count = 40
"""
CAME = date(2027, 1, 5)
TIN = {
    "species": "Fictus ripensis",
    "cultivar": "Pale",
    "form": "seed",
    "place": "cold store",
    "count": 500,
    "unit": "g",
}


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    """The tiny farm with pots that were there at the start (S1)."""
    return write_tiny(tmp_path, TINY + OPENING)


def blocks(out: str) -> list[list[str]]:
    return [block.splitlines() for block in out.strip().split("\n\n")]


def labels_of(path: Path, *names: str, on: date = TODAY) -> list[Label]:
    house = open_house(path)
    return ordered(house.farm, house.records, house.watched, names, 1, on)[0]


def lots_of(path: Path, *names: str) -> list[str]:
    return [lot.id for lot in choose(open_house(path).records, names)[0]]


def test_what_was_there_at_the_start_says_its_form_its_grade_and_its_place(call: Call, farm: Path):
    status, out, err = call("labels", farm, "--batch", "S1", "--on", TODAY)
    assert (status, err) == (0, "")
    assert blocks(out) == [["scree fig 'Grey'", "Fictus montana", "S1", "1 L pot, first", "stock beds"]]


def test_what_came_in_says_how_when_and_from_whom(call: Call, farm: Path):
    tell(farm, "receive", CAME, lot="W1", origin="swapped", **TIN, **{"from": "Weir Nursery"})
    out = call("labels", farm, "W1", "--on", TODAY)[1]
    assert blocks(out) == [
        ["bankside fig 'Pale'", "Fictus ripensis", "W1", "seed · swapped 5 Jan 27", "from Weir Nursery"]
    ]


def test_where_nobody_is_named_the_place_stands_in_place_of_the_source(farm: Path):
    tell(farm, "receive", CAME, lot="W1", origin="collected", **TIN)
    assert text_label(labels_of(farm, "W1")[0])[3:] == ["seed · collected 5 Jan 27", "cold store"]


def test_of_two_comings_the_first_gives_the_day_and_a_source_is_told_only_where_all_of_it_has_one(farm: Path):
    tell(farm, "receive", date(2027, 1, 9), lot="W1", **TIN, **{"from": "Ford Farm"})
    tell(farm, "receive", CAME, lot="W1", **TIN, **{"from": "Weir Nursery"})
    (label,) = labels_of(farm, "W1")
    assert (label.day, label.source) == (CAME, "Weir Nursery, Ford Farm")
    assert labels_of(farm, "W1", on=date(2027, 1, 8))[0].source == "Weir Nursery"
    tell(farm, "receive", date(2027, 1, 10), lot="W1", **TIN)
    assert labels_of(farm, "W1")[0].source == ""


def test_what_was_taken_back_did_not_come(farm: Path):
    tell(farm, "receive", CAME, lot="W1", **TIN, **{"from": "Ford Farm"})
    tell(farm, "undo", CAME, of=open_house(farm).entries[-1].id)
    tell(farm, "receive", date(2027, 1, 9), lot="W1", **TIN, **{"from": "Weir Nursery"})
    (label,) = labels_of(farm, "W1")
    assert (label.day, label.source) == (date(2027, 1, 9), "Weir Nursery")


def test_all_labels_are_those_of_batches_and_of_what_is_on_hand_each_lot_once(call: Call, farm: Path):
    tell(farm, "receive", CAME, lot="W1", **TIN)
    tell(farm, "receive", CAME, lot="W2", **TIN)
    tell(farm, "lose", CAME, lot="W2", form="seed", grade="", place="cold store", count=500)
    out = call("labels", farm, "--on", TODAY)[1]
    assert [block[2] for block in blocks(out)] == ["Z1", "Z2", "Z3", "M1", "S1", "W1"]


def test_of_a_past_day_only_what_had_come_by_then_has_a_label(call: Call, farm: Path):
    tell(farm, "receive", date(2027, 1, 15), lot="W1", **TIN)
    assert "W1" in call("labels", farm, "--on", "2027-01-16")[1]
    assert "W1" not in call("labels", farm, "--on", "2027-01-14")[1]


def test_words_after_the_farm_name_lots_as_batch_does(call: Call, farm: Path):
    out = call("labels", farm, "S1", "Z2", "--batch", "m1", "--copies", 2, "--on", TODAY)[1]
    assert [block[2] for block in blocks(out)] == ["S1", "S1", "Z2", "Z2", "M1", "M1"]
    assert call("labels", farm, "--on", TODAY, "S1")[1] == call("labels", farm, "--batch", "S1", "--on", TODAY)[1]


def test_the_farm_may_be_left_out_before_lots_where_one_is_set(call: Call, farm: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("WIDGER_FARM", str(farm))
    assert [block[2] for block in blocks(call("labels", "s1", "Z2", "--on", TODAY)[1])] == ["S1", "Z2"]


@pytest.mark.parametrize("given", [("S1", "W9"), ("--batch", "W9"), ("W9", "--pdf", "a.pdf"), ("W9", "--json")])
def test_a_name_that_is_no_lots_is_refused_with_the_nearest_and_nothing_is_printed(
    call: Call, farm: Path, given: tuple[str, ...]
):
    tell(farm, "receive", CAME, lot="W91", **TIN)
    status, out, err = call("labels", farm, *given, "--on", TODAY)
    assert (status, out) == (2, "")
    assert 'no batch or lot is called "W9" (did you mean "W91"?)' in err
    assert list(Path().iterdir()) == []


def test_a_doubtful_name_of_the_stock_is_not_printed_as_a_cultivar(call: Call, farm: Path):
    tell(farm, "doubt", CAME, lot="S1")
    assert blocks(call("labels", farm, "S1", "--on", TODAY)[1])[0][0] == "scree fig, name not certain"
    (told,) = json.loads(call("labels", farm, "S1", "--json", "--on", TODAY)[1])["labels"]
    assert (told["name_doubtful"], told["cultivar"]) == (True, "")


def test_json_tells_how_a_lot_of_the_stock_came(call: Call, farm: Path):
    tell(farm, "receive", CAME, lot="W1", **TIN, **{"from": "Weir Nursery"})
    told = json.loads(call("labels", farm, "W1", "S1", "--json", "--copies", 2, "--on", TODAY)[1])["labels"]
    assert told == [
        {
            "lot": "W1", "species": "Fictus ripensis", "common": "bankside fig", "cultivar": "Pale",
            "name_doubtful": False, "method": "", "act": "", "date": "2027-01-05", "source": "Weir Nursery",
            "origin": "bought", "form": "seed", "grade": "", "place": "cold store", "made_of": "",
        },
        {
            "lot": "S1", "species": "Fictus montana", "common": "scree fig", "cultivar": "Grey",
            "name_doubtful": False, "method": "", "act": "", "date": None, "source": "",
            "origin": "opening", "form": "1 L pot", "grade": "first", "place": "stock beds", "made_of": "",
        },
    ]  # fmt: skip


def test_each_form_and_grade_has_a_label_of_its_own_and_a_place_does_not(farm: Path):
    key = {"lot": "S1", "form": "1 L pot", "grade": "first", "place": "stock beds"}
    tell(farm, "move", CAME, **key, count=10, to="seed beds")
    assert [(label.grade, label.place) for label in labels_of(farm, "S1")] == [("first", "stock beds, seed beds")]
    tell(farm, "grade", CAME, **key, grades={"second": 5})
    found = [(label.lot, label.grade, label.place) for label in labels_of(farm, "S1")]
    assert found == [("S1", "first", "stock beds, seed beds"), ("S1", "second", "stock beds")]


def test_a_part_split_off_came_as_its_root_did(farm: Path):
    tell(farm, "receive", CAME, lot="W1", **TIN, **{"from": "Weir Nursery"})
    part = {"form": "seed", "grade": "", "place": "cold store"}
    tell(farm, "split", date(2027, 1, 9), lot="W1", **part, count=100, into="W1/1")
    tell(farm, "split", date(2027, 1, 9), lot="W1/1", **part, count=50, into="W1/1/1")
    label = labels_of(farm, "W1/1/1")[0]
    assert (label.lot, label.day, label.source, label.form) == ("W1/1/1", CAME, "Weir Nursery", "seed")


def test_a_part_split_off_a_batch_beside_its_protocol_keeps_the_method_and_its_day(farm: Path):
    here = {"lot": "Z3", "form": "seed", "grade": "", "place": "cold store"}
    tell(farm, "move", date(2027, 1, 9), **here, count=20, to="potting shed")
    tell(farm, "split", date(2027, 1, 9), **here | {"place": "potting shed"}, count=20, into="GIFT")
    assert open_house(farm).records.lot("GIFT") is None
    (label,) = labels_of(farm, "GIFT")
    assert text_label(label)[2:] == ["GIFT", "seed · soak 4 Jan 27", "potting shed"]


def test_what_is_left_elsewhere_of_a_batch_given_up_still_has_its_label(farm: Path):
    here = {"lot": "Z3", "form": "seed", "grade": "", "place": "cold store"}
    tell(farm, "move", date(2027, 1, 9), **here, count=20, to="potting shed")
    tell(farm, "lose", date(2027, 1, 10), **here, count=40)
    lot = open_house(farm).records.lot("Z3")
    assert lot is not None
    assert lot.given_up is not None
    assert lots_of(farm) == ["Z1", "Z2", "Z3", "M1", "S1"]


def test_a_lot_of_which_nothing_is_left_has_a_label_only_by_name(farm: Path):
    tell(farm, "sell", CAME, lot="S1", form="1 L pot", grade="first", place="stock beds", count=40)
    assert "S1" not in lots_of(farm)
    (label,) = labels_of(farm, "S1")
    assert (label.form, label.grade, label.place) == ("1 L pot", "first", "")


def test_a_pdf_carries_the_words_and_the_code_of_a_lot_of_the_stock(call: Call, farm: Path, tmp_path: Path):
    tell(farm, "receive", CAME, lot="W1", **TIN, **{"from": "Weir Nursery"})
    path = tmp_path / "labels.pdf"
    assert call("labels", farm, "W1", "--pdf", path, "--on", TODAY)[0] == 0
    said = words(path.read_bytes())
    for text in ("bankside fig 'Pale'", "W1", "bought 5 Jan 27", "from Weir Nursery"):
        assert text in said
    assert [text for _, text, _, _ in codes(path.read_bytes())] == ["W1"]


@pytest.mark.parametrize("sheet", sampled([*SHEETS.values(), find_sheet("25x10")], 4), ids=lambda s: s.name)
def test_a_long_label_of_the_stock_keeps_within_its_own_space(farm: Path, sheet: Sheet):
    long = {
        **TIN,
        "form": "root ball wrapped in sacking and wire",
        "grade": "second, some bark damage",
        "place": "seed beds",
    }
    tell(farm, "receive", CAME, lot="Weir-2027/11", **long, **{"from": "the walled garden above the second weir " * 3})
    labels = labels_of(farm, "Weir-2027/11")
    assert strays(sheet, ink(make_pdf(labels * sheet.holds, sheet).data)) == []


def test_how_a_lot_came_is_looked_up_only_where_a_lot_of_the_stock_is_asked_for(farm: Path):
    def unwanted() -> Records:
        raise AssertionError("the movements are asked for")

    house = open_house(farm)
    ordered(house.farm, house.records, unwanted, ("Z1",), 1, TODAY)
    with pytest.raises(AssertionError, match="asked for"):
        ordered(house.farm, house.records, unwanted, ("S1",), 1, TODAY)
