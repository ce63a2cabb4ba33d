"""A frosty night: what stands exposed and bears less, held against published critical temperatures."""

from __future__ import annotations

import pytest

from engine.journal.entry import Entry
from engine.protocols.library import read_sources
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.views.tonight import bears, tonight
from tests.engine.needs.homes import batch, farm, stock
from tests.engine.schedule.farms import day, entry

STUCK = entry("2027-03-02", "done", "stick", count=100)


def found(*parts: str, on: str, low: float = -30, entries: tuple[Entry, ...] = ()) -> dict[str, tuple[str, float]]:
    home = farm(*parts)
    nursery = open_nursery(home, apply(home, entries))
    return {each.lot: (each.stage, each.bears_c) for each in tonight(nursery, low, day(on))}


@pytest.mark.parametrize(
    ("on", "stage"),
    [
        ("2027-01-15", "pot"),
        ("2027-04-10", "swelling"),
        ("2027-05-15", "leaf"),
        ("2027-09-15", "hardened"),
        ("2027-12-15", "pot"),
    ],
)
def test_what_a_pot_bears_goes_by_the_season(on: str, stage: str):
    assert found(stock("S", 40, "1 L pot"), on=on) == {"S": (stage, bears()[stage]["bears_c"])}


def test_only_what_bears_less_is_told_and_the_tenderest_first():
    lots = (stock("A", 40, "1 L pot"), stock("B", 12))
    assert list(found(*lots, on="2027-05-15", low=-1.9)) == []
    assert list(found(*lots, on="2027-05-15", low=-2.1)) == ["A", "B"]


def test_seed_and_what_is_under_cover_bear_any_frost():
    seed = stock("S", 400, "seed")
    assert found(seed, on="2027-05-15") == {}
    inside = stock("C", 40, "1 L pot").replace('place = "bed"', 'place = "mist bench"')
    assert found(inside, on="2027-05-15") == {}


def test_cuttings_stuck_in_the_open_are_no_softer_than_the_plants_beside_them():
    assert found(batch("B", 100), on="2027-05-15", entries=(STUCK,)) == {"B": ("leaf", -2)}


def test_a_kind_that_stands_little_cold_bears_no_more_in_any_season():
    tender = '[[species]]\nlatin = "Arbor ficta"\nhardy_c = -1\n'
    assert found(stock("S", 40), tender, on="2027-01-15") == {"S": ("ground", -1)}
    assert found(stock("S", 40, "1 L pot"), tender, on="2027-01-15") == {"S": ("pot", -1)}
    assert found(stock("S", 40), on="2027-01-15") == {}  # not known


def test_the_figures_are_those_that_their_sources_print():
    """Penn State Extension, Orchard frost: apple green tip, 10 % kill at 18 F. Knapp 2018: a hard freeze below 28 F."""
    assert bears()["swelling"]["bears_c"] == pytest.approx((18 - 32) / 1.8, abs=0.05)
    assert bears()["leaf"]["bears_c"] == pytest.approx((28 - 32) / 1.8, abs=0.25)
    for stage in bears().values():
        key = stage["source"].split(":")[0].split(" p.")[0]
        assert key in read_sources() or stage["source"].startswith("common practice")
