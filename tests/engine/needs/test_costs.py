"""What a batch costs, worked out by hand: what is bought, what the stock plants give, and the hours."""

from __future__ import annotations

import pytest

from engine.farm.stock import Need
from engine.needs.costs import Cost
from engine.needs.stays_and_losses import losses_of
from engine.needs.ways import Way, splits, ways
from engine.schedule.plan import Day
from tests.engine.needs.homes import CUTTINGS, farm, opened
from tests.engine.needs.test_orders_and_review import GRAFT
from tests.engine.schedule.farms import day

TODAY = day("2027-02-01")
HOUR = '[[price]]\nitem = "hour"\neach = 20\n'
CUTTING = '[[price]]\nitem = "cutting"\nhundred = 50\n'
ROW = '[[stock_plant]]\nid = "row"\nspecies = "Arbor ficta"\ncount = 1\nyields = 30\n'
FICTA = '[[species]]\nlatin = "Arbor ficta"\ncommon = ["sham tree"]\nseeds_per_kg = [900, 1100]\n'


def price(item: str, more: str, species: str = "") -> str:
    return f'[[price]]\nitem = "{item}"\n{more}\n' + (f'species = "{species}"\n' if species else "")


def asked(*parts: str, species: str = "Arbor ficta", count: int = 50, by: str = "2027-12-31") -> dict[str, Way]:
    home = farm(*parts)
    nursery, plans = opened(home, "2027-02-01")
    need = Need("", species, "", "", count, day(by), 0.9)
    return {way.protocol.method: way for way in ways(Day(nursery, plans, TODAY), need)}


def cost_of(way: Way) -> Cost:
    assert way.cost is not None
    return way.cost


def test_without_prices_nothing_is_told():
    way = asked()["hardwood cutting"]
    assert way.cost is None


def test_hours_are_paid_by_the_hour():
    way = asked(HOUR)["hardwood cutting"]
    cost = cost_of(way)
    assert cost.parts == (("work", pytest.approx(way.hours * 20)),)
    assert cost.unpriced == ()


def test_material_that_has_a_price_is_bought_and_what_the_stock_plants_give_is_not():
    bought = asked(HOUR, CUTTING)["hardwood cutting"]
    assert dict(cost_of(bought).parts)["cuttings"] == pytest.approx(bought.takes * 0.5)
    some = asked(HOUR, CUTTING, ROW)["hardwood cutting"]
    assert some.gives == 30
    assert dict(cost_of(some).parts)["cuttings"] == pytest.approx((some.takes - 30) * 0.5)
    enough = asked(HOUR, CUTTING, ROW.replace("30", "3000"))["hardwood cutting"]
    assert [name for name, _ in cost_of(enough).parts] == ["work"]


def test_seed_by_weight_by_packet_and_by_the_piece():
    """By hand: 1,000 seeds a kilogram."""
    seed = asked(price("seed", "kg = 40"), FICTA)["seed"]
    assert dict(cost_of(seed).parts)["seed"] == pytest.approx(seed.takes / 1000 * 40)
    assert dict(cost_of(asked(price("seed", "g = 0.04"), FICTA)["seed"]).parts)["seed"] == pytest.approx(
        seed.takes / 1000 * 40
    )
    packets = -(-seed.takes // 60)
    by_packet = asked(price("seed", "packet = 3\nseeds = 60"))["seed"]
    assert dict(cost_of(by_packet).parts)["seed"] == packets * 3
    assert by_packet.takes % 60 != 0


def test_seed_sold_by_weight_of_which_nobody_knows_the_weight_has_no_price():
    """The tree of the ten-line farm has no figures of its seed; work is the rest."""
    seed = asked(HOUR, price("seed", "kg = 40"))["seed"]
    assert [name for name, _ in cost_of(seed).parts] == ["work"]


def test_the_price_for_the_species_stands_before_that_for_any():
    for species in ("Arbor ficta", "sham tree"):
        seed = asked(FICTA, price("seed", "each = 9"), price("seed", "each = 2", species))["seed"]
        assert dict(cost_of(seed).parts)["seed"] == seed.takes * 2
    other = asked(FICTA, price("seed", "each = 9"), price("seed", "each = 2", "Malus domestica"))["seed"]
    assert dict(cost_of(other).parts)["seed"] == other.takes * 9


def test_a_graft_buys_rootstocks_scions_and_a_pot_for_each_that_is_left():
    """By hand: of the scions set four fifths take, and are potted."""
    parts = (GRAFT, HOUR, price("rootstock", "hundred = 120"), price("scion", "each = 0.5"), price("pot", "each = 0.2"))
    way = asked(*parts, species="Pomum fictum", by="2028-07-01")["bench graft"]
    cost = cost_of(way)
    assert dict(cost.parts) == {
        "rootstocks": pytest.approx(way.takes * 1.2),
        "scions": pytest.approx(way.takes * 0.5),
        "pots": pytest.approx(way.takes * 0.8 * 0.2),
    }
    assert cost.unpriced == ()


def test_what_must_be_bought_and_has_no_price_is_told():
    way = asked(GRAFT, price("pot", "each = 0.2"), species="Pomum fictum", by="2028-07-01")["bench graft"]
    assert cost_of(way).unpriced == ("rootstocks", "scions")
    assert cost_of(way).says().endswith("; no price for rootstocks and scions")


def test_a_split_costs_what_its_two_batches_do():
    home = farm(HOUR, price("seed", "packet = 3\nseeds = 60"))
    nursery, plans = opened(home, "2027-02-01")
    found = ways(Day(nursery, plans, TODAY), Need("", "Arbor ficta", "", "", 50, day("2027-12-31"), 0.9))
    for pair in splits(50, found, losses_of(home)):
        first, second = (lot.count for lot in pair.spread.two.lots)
        assert pair.cost is not None
        assert pair.one.costing is not None
        assert pair.other.costing is not None
        if pair.one is pair.other:
            assert pair.cost == pair.one.costing.cost(first + second)
        else:
            two = (pair.one.costing.cost(first), pair.other.costing.cost(second))
            assert pair.cost.total == pytest.approx(sum(each.total for each in two))


def test_what_it_costs_in_words():
    assert Cost((("rootstocks", 132.0), ("work", 80.4)), (), "EUR").says() == (
        "costs 212 EUR: rootstocks 132, work 80.40"
    )
    assert Cost((("work", 9.5),), ("pots",)).says() == "costs 9.50; no price for pots"


def test_the_second_way_of_a_split_is_not_given_the_stock_plants_that_the_first_cut():
    """By hand: 30 cuttings are given in the year, to whichever batch; all others are bought at 0.50."""
    other = CUTTINGS.replace('"hardwood cutting"', '"root cutting"')
    home = farm(CUTTING, ROW, other)
    nursery, plans = opened(home, "2027-02-01")
    found = ways(Day(nursery, plans, TODAY), Need("", "Arbor ficta", "", "", 50, day("2027-12-31"), 0.9))
    mixed = [
        pair for pair in splits(50, found, losses_of(home)) if {pair.one.material, pair.other.material} == {"cuttings"}
    ]
    assert mixed
    for pair in mixed:
        count = sum(lot.count for lot in pair.spread.two.lots)
        assert pair.cost is not None
        assert dict(pair.cost.parts) == {"cuttings": pytest.approx((count - 30) * 0.5)}
