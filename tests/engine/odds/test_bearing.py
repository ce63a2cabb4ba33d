"""Whether positions carry bearing plants, against counting draws and published years to bearing."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.odds.bearing import Planted, alive, bears, position
from engine.odds.rates import Rate

SPRING = date(2027, 4, 1)
PLANTS = st.builds(
    lambda on, mean, weight, soonest, more: Planted(on, Rate(mean, weight), (soonest, soonest + more)),
    st.dates(date(2020, 1, 1), date(2030, 12, 31)),
    st.floats(0.5, 1),
    st.one_of(st.none(), st.floats(1, 50)),
    st.floats(0, 9),
    st.floats(0, 6),
)


def test_hazel_that_bears_in_4_to_5_years() -> None:
    """Univ. of Kentucky ID-77, "Nut tree growing in Kentucky", table 1: hazelnut 4 to 5 years."""
    hazel = Planted(SPRING, Rate(0.95), (4, 5))
    assert [bears(hazel, date(year, 4, 1)) for year in (2026, 2030, 2031)] == [0, 0, 0]
    assert bears(hazel, date(2032, 4, 1)) == pytest.approx(0.95**5)


def test_walnut_comes_into_bearing_between_4_and_7_years() -> None:
    """Univ. of Kentucky ID-77, table 1: black walnut 4 to 7 years."""
    walnut = Planted(SPRING, Rate(1.0), (4, 7))
    assert [bears(walnut, date(2027 + age, 4, 1)) for age in (4, 5, 6, 7, 8)] == pytest.approx([0, 1 / 3, 2 / 3, 1, 1])


def test_an_understudy_lifts_the_odds_as_two_chances_do() -> None:
    tree = Planted(SPRING, Rate(0.9), (5, 5))
    alone = 0.9**5
    got = position(tree, (tree,), date(2032, 4, 1))
    assert (got.alone, got.covered) == pytest.approx((alone, 1 - (1 - alone) ** 2))


def test_the_odds_agree_with_counted_draws() -> None:
    rng = np.random.default_rng(5)
    draws = 100_000
    first = Planted(SPRING, Rate(0.85, 10.0), (4, 7), Rate(0.7, 6.0))
    second = Planted(date(2029, 4, 1), Rate(0.95), (2, 5))

    def bearing(plant: Planted, year: int) -> np.ndarray:
        age = year - plant.on.year
        w = plant.yearly.weight
        yearly = rng.beta(plant.yearly.mean * w, (1 - plant.yearly.mean) * w, draws) if w else plant.yearly.mean
        lives = rng.random(draws) < yearly ** (age - (plant.first_year is not None))
        if plant.first_year is not None:
            lives &= rng.random(draws) < plant.first_year.mean
        return lives & (rng.uniform(*plant.bearing, draws) <= age)

    for year in (2032, 2033, 2036):
        one, two = bearing(first, year), bearing(second, year)
        got = position(first, (second,), date(year, 4, 1))
        assert got.alone == pytest.approx(one.mean(), abs=0.007)
        assert got.covered == pytest.approx((one | two).mean(), abs=0.007)


@given(PLANTS, st.lists(PLANTS, max_size=3), PLANTS, st.dates(date(2018, 1, 1), date(2050, 12, 31)))
def test_understudies_only_help_and_odds_stay_odds(
    first: Planted, understudies: list[Planted], more: Planted, day: date
) -> None:
    some, another = position(first, understudies, day), position(first, [*understudies, more], day)
    assert 0 <= some.alone <= some.covered + 1e-12 <= another.covered + 2e-12 <= 1 + 3e-12
    assert bears(first, day) <= alive(first, day) + 1e-12
    assert alive(first, day + timedelta(400)) <= alive(first, day) + 1e-12 or day < first.on


def test_a_plant_set_out_in_december_is_no_year_old_at_new_year() -> None:
    """By months: 5 years from 1 December 2028 are over on 1 December 2033, not on 1 January."""
    tree = Planted(date(2028, 12, 1), Rate(0.9), (5, 5))
    assert bears(tree, date(2033, 1, 1)) == bears(tree, date(2033, 11, 30)) == 0
    assert bears(tree, date(2033, 12, 1)) == pytest.approx(0.9**5)
    assert alive(tree, date(2029, 1, 1)) == pytest.approx(0.9 ** (1 / 12))
