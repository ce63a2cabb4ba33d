"""Stock plants that are entries: what is added and grubbed out, what is refused, merging and undo."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.acts.action import Refused
from engine.acts.stock_plants import grub_out, new_stock_plant
from engine.acts.undoing import undo
from engine.farm.stock import StockPlant
from engine.journal.store import standing
from engine.needs.stock_plants import stock_plant_lines
from engine.records.records import apply
from engine.records.words import said
from engine.schedule.plan import plan_all
from tests.engine.needs.homes import batch, farm
from tests.engine.records.desk import Desk, entry
from tests.engine.records.test_need_entries import TODAY

OWN = """
[[stock_plant]]
id = "old row"
species = "Arbor ficta"
count = 4
yields = 10
"""
HOME = farm(batch("B"), OWN)
ROW = StockPlant(
    "elder row", "American elder", "Adams", "bed", 14, 2021, ((1, 4.0), (3, 18.0), (5, 25.0)), "cuttings"
)  # fmt: skip


@pytest.fixture
def desk() -> Desk:
    desk = Desk(HOME, TODAY)
    desk.take(new_stock_plant(desk.nursery, desk.entries, ROW, TODAY))
    return desk


def ids(desk: Desk) -> list[str]:
    return [plant.id for plant in desk.nursery.farm.stock_plants]


def test_the_entry_holds_the_settled_names_and_gives_the_plants_back(desk: Desk):
    assert desk.entries[0].data == {
        "plant": "elder row", "species": "Sambucus canadensis", "cultivar": "Adams", "place": "bed", "count": 14,
        "planted": 2021, "yields": [[1, 4.0], [3, 18.0], [5, 25.0]],
    }  # fmt: skip
    assert said(desk.entries[0]) == "elder row: 14 stock plants, Sambucus canadensis Adams, planted 2021 (10 Jan)"
    assert desk.nursery.farm.stock_plants[1] == replace(ROW, species="Sambucus canadensis")
    assert desk.nursery.farm.species_of("Sambucus canadensis").name == "American elder"
    assert desk.records.strays == ()


def test_what_they_give_a_year_counts_like_that_of_the_file(desk: Desk):
    more = StockPlant("young row", "Arbor ficta", "", "", 2, 2025, ((2, 5.0),))
    desk.take(new_stock_plant(desk.nursery, desk.entries, more, TODAY))
    nursery = desk.nursery
    [line] = [
        line
        for line in stock_plant_lines(nursery.farm, plan_all(nursery, TODAY), (2027,))
        if line.species == "Arbor ficta"
    ]
    assert line.gives == 4 * 10 + 2 * 5


def test_grubbed_out_they_are_gone_also_those_of_the_file_and_undo_brings_them_back(desk: Desk):
    desk.take(grub_out(desk.nursery, "Old Row", "  reversion virus ", TODAY))
    assert ids(desk) == ["elder row"]
    assert said(desk.entries[-1]) == "old row: grubbed out, reversion virus (10 Jan)"
    assert [plant.id for plant in HOME.stock_plants] == ["old row"]
    desk.take(undo(desk.nursery, standing(tuple(desk.entries)), "desk")[0])
    assert ids(desk) == ["old row", "elder row"]
    desk.take(undo(desk.nursery, standing(tuple(desk.entries)), "desk")[0])
    assert ids(desk) == ["old row"]


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"id": " "}, "need an id"),
        ({"id": "OLD ROW"}, '"old row" has already been used'),
        ({"species": "Amercan elder"}, 'did you mean "American elder"?'),
        ({"species": ""}, "need a species"),
        ({"count": 0}, "from 1 to"),
        ({"planted": 1700}, "a year from 1800"),
        ({"material": "scion"}, 'did you mean "scions"?'),
        ({"place": "cold stroe"}, 'did you mean "cold store"?'),
        ({"yields": ((3, 5.0), (1, 4.0))}, "the youngest first"),
        ({"yields": ((1, -5.0),)}, "from 0 on"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(desk: Desk, changed: dict[str, object], told: str):
    with pytest.raises(Refused) as caught:
        new_stock_plant(desk.nursery, desk.entries, replace(ROW, **{"id": "new row", **changed}), TODAY)
    assert told in f"{caught.value} | {caught.value.hint}"


def test_an_id_that_was_grubbed_out_is_not_used_again_and_a_misspelt_one_is_refused(desk: Desk):
    desk.take(grub_out(desk.nursery, "elder row", "", TODAY))
    with pytest.raises(Refused, match="has already been used"):
        new_stock_plant(desk.nursery, desk.entries, ROW, TODAY)
    with pytest.raises(Refused) as caught:
        grub_out(desk.nursery, "odl row", "", TODAY)
    assert "old row" in caught.value.hint


@pytest.mark.parametrize(
    ("kind", "data", "told"),
    [
        ("stock_plant", {"plant": "old row", "species": "hazel", "count": 5}, "there are already"),
        ("stock_plant", {"plant": "X", "count": 5}, "lack a name or a species"),
        ("stock_plant", {"plant": "X", "species": "hazel", "count": "five"}, "its count cannot be read"),
        ("stock_plant", {"plant": "X", "species": "hazel", "count": 5, "planted": "old"}, "planted is a year"),
        ("stock_plant", {"plant": "X", "species": "hazel", "count": 5, "yields": [[1]]}, "cannot be read"),
        ("stock_plant", {"plant": "X", "species": "hazel", "count": 5, "material": "bark"}, "not bark"),
        ("grub_out", {"plant": "X"}, "no stock plants with that id"),
    ],
)
def test_an_entry_that_fits_nothing_is_told_and_the_rest_stands(kind: str, data: dict[str, object], told: str):
    records = apply(HOME, [entry(1, kind, TODAY, **data)])
    [stray] = records.strays
    assert told in stray
    assert records.farm is not None
    assert records.farm.stock_plants == HOME.stock_plants


def test_two_devices_that_grub_out_the_same_row_are_told_once_and_a_slow_clock_loses_nothing(desk: Desk):
    early = [entry(1, "grub_out", TODAY, plant="elder row"), entry(2, "grub_out", TODAY, plant="elder row")]
    records = apply(HOME, [*early, *desk.entries])
    assert records.strays == ("2027-01-10 grub_out elder row: they were grubbed out on 2027-01-10",)
    assert records.farm is not None
    assert [plant.id for plant in records.farm.stock_plants] == ["old row"]


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 10**9), st.text(max_size=9), st.floats(allow_nan=False),
    st.sampled_from(("old row", "hazel", "Arbor ficta", "scions", [[1, 4], [3, 5.5]], [[3, 1], [1, 1]])),
    st.lists(st.lists(st.integers(-1, 5), max_size=3), max_size=2),
)  # fmt: skip
KEYS = ("plant", "species", "cultivar", "place", "count", "planted", "yields", "material", "reason")


@given(st.sampled_from(("stock_plant", "grub_out")), st.dictionaries(st.sampled_from(KEYS), VALUES))
def test_whatever_such_an_entry_holds_it_fits_or_is_a_stray(kind: str, data: dict[str, object]):
    records = apply(HOME, [entry(1, kind, TODAY, **data)])
    assert records.farm is not None
    assert (records.farm.stock_plants != HOME.stock_plants) != bool(records.strays)
    assert all(plant.gives(2030) >= 0 for plant in records.farm.stock_plants)
    assert isinstance(said(entry(1, kind, TODAY, **data)), str)
