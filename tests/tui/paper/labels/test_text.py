"""What a label says, and how it is printed as text."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from engine.records.records import Done, Lot
from tests.tui.farms import TINY, open_house, tell, write_tiny
from tui.paper.labels.label import Label, clean, is_doubtful, label_of
from tui.paper.labels.lots import choose
from tui.paper.labels.text import text_label, text_labels

FIG = Label("Z3", "Fictus ripensis", "bankside fig", "Pale", "seed", "soak", date(2027, 1, 4), "by the weir")


@pytest.fixture
def house(tmp_path: Path):
    return open_house(write_tiny(tmp_path))


def lot_of(house, name: str) -> Lot:
    return next(lot for lot in house.records.lots if lot.id == name)


def test_a_label_names_the_plant_the_lot_the_method_the_day_and_the_source():
    assert text_label(FIG) == ["bankside fig 'Pale'", "Fictus ripensis", "Z3", "seed · soak 4 Jan 27", "by the weir"]


def test_what_is_not_known_takes_no_line():
    bare = Label("Z1", "Fictus ripensis", "", "", "", "", None, "")
    assert text_label(bare) == ["Fictus ripensis", "Z1"]


def test_a_doubtful_name_stands_in_place_of_the_cultivar():
    doubtful = text_label(replace(FIG, doubtful=True))
    assert doubtful[0] == "bankside fig, name not certain"
    assert "Pale" not in "".join(doubtful)


def test_a_word_that_is_no_cultivar_name_has_no_quotation_marks():
    assert text_label(replace(FIG, cultivar="local"))[0] == "bankside fig, local"


def test_the_day_is_that_of_the_first_act_done_else_the_start_else_ready(house):
    farm = house.farm
    acted = lot_of(house, "Z2")
    assert (label_of(farm, acted).act, label_of(farm, acted).day) == ("soak", date(2027, 1, 4))
    earlier = replace(acted, done={**acted.done, "stratify cold": Done(date(2027, 1, 2), 80, "e")})
    assert label_of(farm, earlier).act == "stratify cold"
    fresh = lot_of(house, "Z1")
    assert (label_of(farm, fresh).act, label_of(farm, fresh).day) == ("start", date(2026, 12, 1))
    meant = replace(fresh, batch=replace(fresh.batch, start=None, ready=date(2028, 4, 15)))
    assert (label_of(farm, meant).act, label_of(farm, meant).day) == ("ready by", date(2028, 4, 15))
    assert label_of(farm, replace(fresh, batch=replace(fresh.batch, start=None))).day is None


def test_a_name_is_doubtful_from_the_day_on_which_the_journal_doubts_it_until_it_is_sure_again(tmp_path: Path):
    path = write_tiny(tmp_path)
    told = []
    for kind in ("note", "doubt", "verify"):
        tell(path, kind, date(2027, 1, 10), batch="Z3", lot="Z3", text="by the weir")
        house = open_house(path)
        told.append([is_doubtful(house.records, lot_of(house, name)) for name in ("Z3", "Z1")])
    assert told == [[False, False], [True, False], [False, False]]


def test_lots_are_chosen_by_their_own_id_or_their_batchs(tmp_path: Path):
    path = write_tiny(tmp_path)
    tell(path, "done", date(2027, 1, 10), batch="Z1", step="soak", count=30, left=70)
    tell(path, "drop", date(2027, 1, 11), batch="M1", reason="mice")
    records = open_house(path).records
    assert [lot.id for lot in choose(records, ())[0]] == ["Z1", "Z2", "Z3", "Z1/1"]
    assert [lot.id for lot in choose(records, ("Z1",))[0]] == ["Z1", "Z1/1"]
    assert [lot.id for lot in choose(records, ("Z1/1", "Z1", "M1"))[0]] == ["Z1/1", "Z1", "M1"]
    assert choose(records, ("Z9", "Z2"))[1] == ["Z9"]


def test_the_source_is_the_batchs_note(tmp_path: Path):
    text = TINY.replace('cultivar = "Pale"', 'cultivar = "Pale"\nnote = "swapped at the mill"')
    house = open_house(write_tiny(tmp_path, text))
    assert label_of(house.farm, lot_of(house, "Z3")).source == "swapped at the mill"
    assert label_of(house.farm, lot_of(house, "Z2")).source == ""


LABELS = st.builds(
    Label,
    *(st.text(max_size=90).map(clean) for _ in range(5)),
    st.sampled_from(("stick", "stratify cold")),
    st.dates(date(1970, 1, 1), date(2199, 12, 31)),
    st.text(max_size=200).map(clean),
    st.booleans(),
)


@given(LABELS)
def test_text_keeps_within_40_columns_and_holds_no_control_codes(label: Label):
    for line in text_label(label):
        assert line == line.strip()
        assert all(c.isprintable() for c in line) or not line.isascii()
        assert "\x1b" not in line
        assert sum(map(cell_len, line)) <= 40


def test_long_names_wrap_whole_words_first():
    long = replace(FIG, common="a fig that was found on the bank above the second weir", source="x" * 90)
    lines = text_label(long)
    assert lines[:2] == ["a fig that was found on the bank above", "the second weir 'Pale'"]
    assert lines[-3:] == ["x" * 40, "x" * 40, "x" * 10]


def test_labels_are_blocks_with_a_blank_line_between():
    blocks = text_labels([FIG, replace(FIG, lot="Z4")]).split("\n\n")
    assert [block.splitlines()[2] for block in blocks] == ["Z3", "Z4"]


def test_hostile_text_is_made_harmless():
    assert clean("a\x1b[31mb\nc\u202ed\ud800") == "a [31mb cd?"
    assert clean("  e\u0301  ") == "é"
