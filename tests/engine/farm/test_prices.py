"""What things cost, as a farm file says it: good prices, and every fault with its line and remedy."""

from __future__ import annotations

import sys

import pytest
import tomli

from engine.farm.prices import BY_WEIGHT, HOUR, Price, known_items
from engine.farm.protocols import slip_of
from engine.farm.reading import Reading, read_document
from engine.protocols.library import read_methods
from tests.engine.schedule.farms import NORTH


def read(*prices: str, head: str = "") -> Reading:
    text = head + NORTH + "".join(f"[[price]]\n{price}\n" for price in prices)
    return read_document(tomli.loads(text), text, "farm.toml")


def prices(*given: str) -> tuple[Price, ...]:
    reading = read(*given)
    assert not reading.problems, [str(p) for p in reading.problems]
    assert reading.farm is not None
    return reading.farm.prices


def test_each_hundred_packet_and_weight_are_read():
    assert prices(
        'item = "hour"\neach = 18.5',
        'item = "rootstock"\nspecies = "Malus domestica"\nhundred = 95',
        'item = "seed"\npacket = 3.5\nseeds = 200',
        'item = "seed"\nspecies = "Arbor ficta"\nkg = 60',
        'item = "pot"\nthousand = 180',
    ) == (
        Price("hour", "", 18.5, count=1),
        Price("rootstock", "Malus domestica", 95.0, count=100),
        Price("seed", "", 3.5, count=200, whole=True),
        Price("seed", "Arbor ficta", 60.0, kg=1.0),
        Price("pot", "", 180.0, count=1000),
    )


def test_a_pound_and_an_ounce_are_the_international_ones():
    """International yard and pound agreement of 1959: 0.45359237 kg, 16 ounces."""
    assert BY_WEIGHT["lb"] == 0.45359237
    assert BY_WEIGHT["oz"] == pytest.approx(0.45359237 / 16, rel=1e-12)


def test_what_is_bought_to_graft_on_or_to_raise_from_can_have_its_price():
    natures = [method.nature for method in read_methods().values()]
    bought = {part.removesuffix("s") for n in natures for part in (n.get("onto"), n["takes"]) if part}
    assert bought - {*known_items()} == {"layer"}  # which grow on a stock plant and are never bought
    assert HOUR in known_items()


def test_the_currency_is_any_text():
    reading = read(head='[farm]\ncurrency = "EUR"\n')
    assert reading.farm is not None
    assert (reading.farm.currency, reading.farm.prices, reading.problems) == ("EUR", (), ())


BAD = [
    ("each = 1.2", 7, '"item" is missing', "rootstock"),
    ('item = "rootstok"\neach = 1.2', 8, 'item "rootstok" is not known', 'did you mean "rootstock"?'),
    ('item = "rootstocks"\neach = 1.2', 8, 'item "rootstocks" is not known', 'did you mean "rootstock"?'),
    ('item = "pot"', 7, "this one has none", "each = 1.2"),
    ('item = "pot"\neach = 1\nhundred = 90', 7, "this one has each and hundred", "each = 1.2"),
    ('item = "pot"\neach = "1.20"', 9, 'each is a number, not "1.20"', "a number from 0"),
    ('item = "pot"\neach = -1', 9, "each = -1 is out of range", "runs from 0"),
    ('item = "pot"\nkg = 4', 9, "only seed is sold by the kg, not pot", "each = 1.2"),
    ('item = "seed"\npacket = 4', 7, '"seeds" is missing', "add seeds"),
    ('item = "seed"\nkg = 4\nseeds = 100', 10, "how many are in a packet", "packet = 3.5"),
    ('item = "hour"\nspecies = "Malus domestica"\neach = 9', 9, "the same for every species", "leave species out"),
    ('item = "pot"\neach = 1\nsize = "1 L"', 10, '"size" is not a key of this table', ""),
    ('item = "scion"\nspecies = "Malus domestca"\neach = 1', 9, "is not known", 'did you mean "Malus domestica"?'),
]


@pytest.mark.parametrize(("price", "line", "message", "hint"), BAD, ids=[message for _, _, message, _ in BAD])
def test_a_bad_price_is_told_with_its_line_and_a_remedy(price: str, line: int, message: str, hint: str):
    (problem,) = read(price).problems
    assert (problem.file, problem.line) == ("farm.toml", line)
    assert message in problem.message
    assert hint in problem.hint


def test_two_prices_of_one_thing_are_a_fault_and_the_first_stands():
    reading = read('item = "pot"\neach = 1', 'item = "pot"\nhundred = 90')
    (problem,) = reading.problems
    assert "two prices for pot" in problem.message
    assert reading.farm is not None
    assert reading.farm.prices == (Price("pot", "", 1.0, count=1),)


def test_all_faults_are_told_at_once():
    assert len(read('item = "pott"\neach = 1', 'item = "pot"\neach = -1').problems) == 2


def test_a_table_that_is_not_repeated_is_told():
    text = f"{NORTH}[price]\nhour = 18\n"
    (problem,) = read_document(tomli.loads(text), text, "farm.toml").problems
    assert "[[price]]" in problem.hint


def test_a_farm_without_prices_does_not_load_their_reader(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.delitem(sys.modules, "engine.farm.prices")
    read()
    assert "engine.farm.prices" not in sys.modules
    read('item = "pot"\neach = 1')
    assert "engine.farm.prices" in sys.modules


@pytest.mark.parametrize(("name", "latin"), [("gage", "Prunus domestica"), ("Sambucus canadensis",) * 2])
def test_the_species_of_a_price_is_known_though_no_batch_is_of_it(name: str, latin: str):
    """Gage is a letter off sage, which is a known name too."""
    assert [price.species for price in prices(f'item = "scion"\nspecies = "{name}"\neach = 2')] == [latin]


def test_a_known_name_is_no_slip_for_another():
    assert slip_of("gage") == slip_of("SAGE") == ""
    assert slip_of("sagw") == "sage"
