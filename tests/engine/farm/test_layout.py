"""A planting plant by plant: ids, rows by spacing and bearing, understudies beside their first choice, and faults."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from engine.farm.layout import plants_of
from tests.engine.needs.homes import farm, read

HEAD = '[[planting]]\nname = "belt"\nby = 2028-11-20\n'


def position(more: str, species: str = "Arbor ficta") -> str:
    return f'[[planting.position]]\nspecies = "{species}"\n{more}\n'


def test_a_row_runs_from_its_spot_at_its_spacing_along_its_bearing():
    row = position('id = "R"\nat_m = [1.0, 2.0]\ncount = 3\nspacing_m = 2.5\nbearing_deg = 30')
    plants = plants_of(farm(HEAD, row).plantings[0])
    assert [plant.id for plant in plants] == ["R.1", "R.2", "R.3"]
    for k, plant in enumerate(plants):
        way = radians(30)  # clockwise from north: to the east by its sine, to the north by its cosine
        assert plant.at == pytest.approx((1 + 2.5 * k * sin(way), 2 + 2.5 * k * cos(way)), abs=0.001)


@pytest.mark.parametrize(
    ("bearing", "second"), [("", (5, 2)), ("bearing_deg = 0", (1, 6)), ("bearing_deg = 180", (1, -2))]
)
def test_a_row_runs_east_unless_it_says_otherwise(bearing: str, second: tuple[float, float]):
    row = position(f"at_m = [1.0, 2.0]\ncount = 2\nspacing_m = 4\n{bearing}")
    assert plants_of(farm(HEAD, row).plantings[0])[1].at == pytest.approx(second)


def test_understudies_stand_beside_their_own_first_choice_and_share_its_ring():
    more = "at_m = [0.0, 4.0]\ncount = 2\nspacing_m = 6\nunderstudies = [{U, at_m = [0.0, 6.0], count = 2}]".replace(
        "U", 'species = "Arbor ficta"'
    )
    plants = plants_of(farm(HEAD, position(more)).plantings[0])
    assert [(p.id, p.beside, p.purpose) for p in plants] == [
        ("P1.1", "", "crop"), ("P1.1a", "P1.1", "understudy"), ("P1.1b", "P1.1", "understudy"),
        ("P1.2", "", "crop"), ("P1.2a", "P1.2", "understudy"), ("P1.2b", "P1.2", "understudy"),
    ]  # fmt: skip
    places = [(0, 4), (0, 6), (0, 2), (6, 4), (6, 6), (6, 2)]
    assert [p.at for p in plants] == [pytest.approx(place, abs=1e-9) for place in places]


def test_ids_and_layers_are_as_the_file_gives_them():
    other = 'understudies = [{species = "Arbor ficta", id = "U", layer = "middle", purpose = "nurse"}]'
    more = f'id = "T"\nlayer = "tall"\npurpose = "crop"\n{other}'
    first, under = plants_of(farm(HEAD, position(more)).plantings[0])
    assert (first.id, first.layer, under.id, under.layer, under.purpose) == ("T", "tall", "U", "middle", "nurse")
    assert first.at is None


def test_what_is_planted_is_asked_for_no_more():
    both = position("count = 3\nplanted = 2020-03-01") + position("count = 2", "Corylus avellana")
    home = farm(HEAD, both)
    assert [(need.id, need.count) for need in home.needs] == [("belt 2", 2)]
    assert [plant.need for plant in plants_of(home.plantings[0])][-1] == "belt 2"


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("at_m = 3", "at_m is a pair of numbers"),
        ("at_m = [1, 20000]", "more than 10,000 m"),
        ("at_m = [1, 2]\ncount = 3", "needs spacing_m"),
        ("bearing_deg = 90", "needs a starting point"),
        ("at_m = [0, 0]\ncount = 2\nspacing_m = 1\nbearing_deg = 400", "bearing_deg = 400 is out of range"),
        ('layer = "high"', 'layer "high" is not known'),
        ('purpose = "fun"', 'purpose "fun" is not known'),
        ('understudies = [{species = "Arbor ficta", at_m = [0, 1]}]', "its position has none"),
        ('id = "A"\nunderstudies = [{species = "Arbor ficta", id = "A"}]', 'two positions are called "A"'),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line(more: str, told: str):
    problems = read(HEAD, position(more)).problems
    assert [p for p in problems if told in p.message], problems
    assert all(p.line > 0 for p in problems)


def test_a_spot_and_a_spacing_may_be_given_in_feet():
    row = position('id = "R"\nat_m = ["10 ft", 2]\ncount = 2\nspacing_m = "8 ft"')
    [first, second] = plants_of(farm(HEAD, row).plantings[0])
    assert (first.at, second.at) == (pytest.approx((3.048, 2)), pytest.approx((5.486, 2)))
