"""`widger stock-plant` and `widger grub-out`: what they record, what they print, what they refuse."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.engine.needs.homes import CUTTINGS, PLACES, batch
from tests.engine.schedule.farms import NORTH
from tests.tui.commands.test_record import written
from tests.tui.conftest import Call
from tests.tui.farms import open_house
from tui.typed_numbers import yields_of

ON = ("--on", "2027-01-10")
OWN = '[[stock_plant]]\nid = "old row"\nspecies = "Arbor ficta"\ncount = 4\nyields = 10\n'


@pytest.fixture
def home(tmp_path: Path) -> Path:
    path = tmp_path / "farm.toml"
    path.write_text("".join((NORTH, PLACES, CUTTINGS, batch("B"), OWN)), encoding="utf-8")
    return path


def test_stock_plants_are_added_and_grubbed_out_and_undo_takes_each_back(call: Call, home: Path):
    given = ("--cultivar", "Adams", "--planted", "2021", "--yields", "1=4,3=18", "--place", "bed")
    status, out, err = call("stock-plant", home, "elder row", "American elder", "14", *given, *ON)
    assert (status, err) == (0, "")
    assert out == "elder row: 14 stock plants, Sambucus canadensis Adams, planted 2021 (10 Jan)\n"
    plant = open_house(home).nursery.farm.stock_plants[1]
    assert (plant.id, plant.planted, plant.yields, plant.place) == ("elder row", 2021, ((1, 4.0), (3, 18.0)), "bed")
    status, out, _ = call("grub-out", home, "old row", "--reason", "virus", *ON)
    assert (status, out) == (0, "old row: grubbed out, virus (10 Jan)\n")
    assert [plant.id for plant in open_house(home).nursery.farm.stock_plants] == ["elder row"]
    assert call("undo", home)[0] == call("undo", home)[0] == 0
    assert [plant.id for plant in open_house(home).nursery.farm.stock_plants] == ["old row"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("stock-plant", "old row", "hazel", "4"), "has already been used"),
        (("stock-plant", "new row", "hazle", "4"), "hazel"),
        (("stock-plant", "new row", "hazel", "0"), "from 1 to"),
        (("stock-plant", "new row", "hazel", "4", "--yields", "many"), "write 25, or by age"),
        (("stock-plant", "new row", "hazel", "4", "--planted", "long ago"), "must be 0 or more"),
        (("stock-plant", "new row", "hazel"), "ID SPECIES COUNT"),
        (("grub-out", "odl row"), "old row"),
    ],
)
def test_what_cannot_be_is_refused(call: Call, home: Path, words: tuple[str, ...], told: str):
    status, out, err = call(words[0], home, *words[1:], *ON)
    assert (status, out) == (2, "")
    assert told in err
    assert written(home) == []


def test_yields_are_read_as_one_number_or_by_age():
    assert yields_of("25") == ((0, 25.0),)
    assert yields_of(" 1=4, 3=18 ") == ((1, 4.0), (3, 18.0))
    assert yields_of("") == ()
