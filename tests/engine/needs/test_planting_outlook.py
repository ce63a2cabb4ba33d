"""Plantings in the farm file: read, checked, turned into needs; the odds that a position bears."""

from __future__ import annotations

import pytest

from engine.farm.stock import Need
from engine.needs.coverage import crowded
from tests.engine.needs.homes import SEED, batch, covered, farm, position_odds, read
from tests.engine.schedule.farms import SOUTH, day

MONTH = 1 / 12
HAZEL = """
[[species]]
latin = "Nux ficta"
bearing_years = {seed = [4, 6], vegetative = [2, 4]}
spread_m = [3, 5]
"""


def planting(body: str, when: str = "by = 2028-11-20") -> str:
    return f'[[planting]]\nname = "belt"\n{when}\n{body}'


def position(more: str = "", species: str = "Nux ficta", count: int = 10) -> str:
    return f'[[planting.position]]\nspecies = "{species}"\ncount = {count}\n{more}\n'


def test_a_planting_asks_for_each_plant_once_first_choices_first():
    home = farm(
        HAZEL,
        planting(
            position('understudies = ["Arbor ficta"]')
            + position('cultivar = "Big"\nunderstudies = [{species = "Arbor ficta", count = 2}]', count=4)
            + position(count=3)
        ),
    )
    by = day("2028-11-20")
    assert home.needs == (
        Need("belt 1", "Nux ficta", "", "", 13, by, 0.9, "belt"),
        Need("belt 2", "Nux ficta", "Big", "", 4, by, 0.9, "belt"),
        Need("belt 3", "Arbor ficta", "", "", 18, by, 0.9, "belt"),
    )


def test_its_needs_are_covered_as_orders_are():
    found = covered(farm(HAZEL, batch("B"), planting(position(species="Arbor ficta"))), "2027-02-01")
    assert [(line.need.id, line.to_come, line.short) for line in found.needs] == [("belt 1", 10, 0)]
    assert [line.need.id for line in found.plantings[0].needs] == ["belt 1"]


@pytest.mark.parametrize(
    ("season", "site", "first", "last"),
    [
        ("autumn 2028", "", "2028-11-01", "2028-12-31"),
        ("spring 2028", "", "2028-03-01", "2028-04-30"),
        ("autumn 2028", SOUTH, "2028-05-01", "2028-06-30"),
        ("spring 2028", SOUTH, "2028-09-01", "2028-10-31"),
        ("winter 2027-28", "", "2028-01-10", "2028-03-31"),
        ("winter 2028", SOUTH, "2028-07-10", "2028-09-30"),
    ],
)
def test_a_season_is_a_day_at_its_site(season: str, site: str, first: str, last: str):
    parts = (HAZEL, planting(position(), f'season = "{season}"'))
    by = (farm(*parts, site=site) if site else farm(*parts)).plantings[0].by
    assert by is not None
    assert day(first) <= by <= day(last)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (planting(position(), ""), "a season or a by date"),
        (planting(position(), 'season = "summer 2028"'), 'season "summer 2028" is not known'),
        (planting(position(), 'season = "winter 2028"'), 'season "winter 2028" is not known'),  # which of the two?
        (planting(position(), 'season = "autumn 2028-29"'), "is not known"),
        (planting(position(), 'season = "spring 2028"\nby = 2028-03-01'), "not both"),
        (planting(""), "has no positions"),
        (planting(position("understudies = 3")), "understudies are species"),
        (planting(position('understudies = [{species = "Nux ficta", many = 2}]')), '"many" is not a key'),
        (planting(position("spacing_m = -1")), "spacing_m = -1 is out of range"),
        (planting(position("bearing_years = [5, 3]")), "the smaller first"),
        (planting(position('raised = "grafted"')), 'raised "grafted" is not known'),
        (planting(position(count=0)), "count = 0 is out of range"),
        (planting(position(species="Corylus avelana")), "is not known"),
        (planting(position('understudies = ["Corylus avelana"]')), "is not known"),
        (planting(position()) * 2, 'two plantings are called "belt"'),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, told: str):
    problems = read(HAZEL, text).problems
    assert any(told in p.message for p in problems), problems
    assert all(p.line > 0 for p in problems)


@pytest.mark.parametrize(
    ("years", "alone", "covered_by"),
    # Planted on 20 November, they are n years and a month old at the year's end: alive are 0.9 * 0.97 ** (age - 1).
    # Seedlings bear from 4 years at the soonest, all of them from 6; the understudy, a cultivar, from 2, all from 4.
    [
        (1, 0.0, 0.0),
        (3, 0.0, 13 / 24 * 0.9 * 0.97 ** (2 + MONTH)),
        (5, 13 / 24 * 0.9 * 0.97 ** (4 + MONTH), None),
        (8, 0.9 * 0.97 ** (7 + MONTH), None),
    ],
)
def test_the_odds_that_a_position_bears(years: int, alone: float, covered_by: float | None):
    home = farm(
        HAZEL, planting(position('raised = "seed"\nunderstudies = [{species = "Nux ficta", cultivar = "Big"}]'))
    )
    found = position_odds(home, 2028 + years)
    assert found is not None
    if covered_by is None:
        covered_by = 1 - (1 - alone) * (1 - 0.9 * 0.97 ** (years - 1 + MONTH))
    assert (found.alone, found.covered) == (pytest.approx(alone), pytest.approx(covered_by))


def test_what_the_farm_says_of_survival_and_bearing_goes_before():
    text = planting(
        position("bearing_years = [1, 1]\nyearly_survival = 0.5"), "by = 2028-11-20\nfirst_year_survival = 0.8"
    )
    home = farm(HAZEL, text)
    found = position_odds(home, 2031)
    assert found is not None
    assert found.alone == pytest.approx(0.8 * 0.5 ** (2 + MONTH))


def test_without_years_to_bearing_nothing_is_claimed():
    home = farm(planting(position(species="Arbor ficta")))
    assert position_odds(home, 2040) is None


@pytest.mark.parametrize(("spacing", "told"), [("1.4", True), ("1.5", False), ("4", False)])
def test_closer_than_half_its_spread_is_told(spacing: str, told: bool):
    """It spreads 3 to 5 m: under 1.5 m it crowds."""
    home = farm(HAZEL, planting(position(f"spacing_m = {spacing}")))
    assert bool(crowded(home, home.plantings[0].positions[0])) == told


@pytest.mark.parametrize(("method", "bears"), [("seed", 0.0), ("nuts in a crate", 0.0), ("hardwood cutting", 1.0)])
def test_a_cultivar_that_the_farm_raises_from_seed_bears_as_seedlings_do(method: str, bears: float):
    """At 4 years and a month cuttings all bear; of seedlings, from 4 to 6 years, hardly any.

    What a method takes says that it sows, not its name.
    """
    species = HAZEL.replace("Nux ficta", "Arbor ficta")
    strain = batch("S", method=method, more='cultivar = "Big"\n')
    crate = SEED.replace('method = "seed"', 'method = "nuts in a crate"\nlike = "seed"')
    home = farm(species, crate, strain, planting(position('cultivar = "Big"\nyearly_survival = 1.0', "Arbor ficta")))
    found = position_odds(home, 2032)
    assert found is not None
    assert found.alone == pytest.approx(0.9 * (bears or MONTH / 2), abs=1e-9)
