"""Starts against published tables, scipy's binomial and beta-binomial, and what must hold of any."""

from __future__ import annotations

from contextlib import suppress
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from engine.odds.rates import Rate
from engine.odds.starts import TooUnsure, costs, start, surely
from engine.odds.survivors import survivors
from engine.odds.tails import chance
from engine.reading.limits import MOST_IN_BATCH
from tests.sampled import examples, sampled

RATES = st.builds(Rate, st.floats(0.3, 0.97), st.one_of(st.none(), st.floats(2, 200)))

SURE = (0.5, 0.75, 0.9, 0.95, 0.99, 0.999, 0.9999, 0.99999)
# Boost.Math, example "neg_binomial_sample_sizes": the fewest trials so that more than k events come, of chance e each.
SAMPLE_SIZES = [
    (5, 0.5, (11, 14, 17, 18, 22, 27, 31, 36)),
    (50, 0.5, (None, 109, 115, 119, 128, 137, 146, 154)),  # None: an exact tie at 101
    (500, 0.5, (1001, 1023, 1043, 1055, 1078, 1104, 1126, 1146)),
    (50, 0.9, (56, 58, 60, 61, 63, 66, 68, 71)),
    (500, 0.9, (556, 562, 567, 570, 576, 583, 588, 594)),
    (5, 0.1, (57, 73, 91, 103, 127, 159, 189, 217)),
    (5, 0.6, (10, 11, 13, 15, 18, 21, 25, 28)),
]


@pytest.mark.parametrize(("more_than", "rate", "table"), SAMPLE_SIZES)
def test_published_negative_binomial_sample_sizes(more_than: int, rate: float, table: tuple[int | None, ...]) -> None:
    for sure, fewest in zip(SURE, table, strict=True):
        if fewest is not None:
            assert start(more_than + 1, (Rate(rate),), sure).count == fewest, sure


def test_a_tie_needs_no_plant_more() -> None:
    """Of 101 at one half, 51 or more come in exactly one half of all cases (the binomial is symmetric)."""
    assert start(51, (Rate(0.5),), 0.5).count == 101
    assert start(1, (Rate(0.9),), 0.9).count == 1


@pytest.mark.parametrize("sure", [0.5, 0.8, 0.95])
def test_known_rates_need_what_scipys_negative_binomial_says(sure: float) -> None:
    for want, rate in product([1, 10, 24, 100, 700, 10_000], [0.17, 0.5, 0.8, 0.98]):
        least = want + int(stats.nbinom.ppf(sure - 1e-10, want, rate))
        assert start(want, (Rate(rate),), sure).count == least, (want, rate)


@pytest.mark.parametrize("sure", [0.8, 0.9, 0.95])
def test_unsure_rates_need_the_least_that_scipys_beta_binomial_allows(sure: float) -> None:
    for want, (mean, weight) in product([1, 12, 50, 400], [(0.75, 132.0), (2 / 3, 30.0), (0.8, 3.0), (0.95, 6.0)]):
        a, b = mean * weight, (1 - mean) * weight
        found = start(want, (Rate(mean, weight),), sure).count
        assert stats.betabinom.sf(want - 1, found, a, b) >= sure - 1e-9, (want, mean, weight)
        assert stats.betabinom.sf(want - 1, found - 1, a, b) < sure, (want, mean, weight)


def test_beta_binomial_worked_examples() -> None:
    """Beta(99, 33), from 98 of 130 seeds germinated and a flat prior; Beta(20, 10), from 12 of 20 and a prior of 10."""
    assert [start(100, (Rate(0.75, 132.0),), sure).count for sure in (0.9, 0.95)] == [146, 151]
    assert [start(100, (Rate(0.75),), sure).count for sure in (0.9, 0.95)] == [142, 145]
    assert start(50, (Rate(2 / 3, 30.0),), 0.9).count == 93
    assert start(50, (Rate(2 / 3),), 0.9).count == 83


def test_known_stages_multiply() -> None:
    """0.8 * 0.9 * 0.95 = 0.684 (reckoned with scipy's binomial)."""
    stages = tuple(Rate(r) for r in (0.8, 0.9, 0.95))
    assert [start(100, stages, sure).count for sure in (0.9, 0.95)] == [157, 160]


def test_wanted_divided_by_the_rate_is_enough_only_half_the_time() -> None:
    """USDA Woody Plant Seed Manual (Agric. Handbook 727, 2008), Prunus table 7, p. 888: apricot 50 %, sand cherry 77 %,
    American plum 33 % of seeds become seedlings: 200, 1,299 and 304 seeds for 100, 1,000 and 100 on the whole."""
    for want, rate, seeds in ((100, 0.5, 200), (1000, 0.77, 1299), (100, 0.33, 304)):
        assert seeds * rate >= want > (seeds - 1) * rate
        assert 0.5 < chance(seeds, want, (Rate(rate),)) < 0.55
        found = start(want, (Rate(rate),), 0.9)
        assert found.count > seeds
        assert found.expected == pytest.approx(found.count * rate)
        assert found.surplus == pytest.approx(found.count * rate - want)
    assert start(100, (Rate(0.5),), 0.9).count == 218


def test_grafts_for_five_trees() -> None:
    """Mithoefer 2005, table 13.3, in "Indigenous Fruit Trees in the Tropics" (CABI): 7 grafts at 70 % for 5 trees,
    which is 5 / 0.7 to the nearest. Seven give five in 65 cases of 100; to be 90 % sure takes nine."""
    assert 7 * 0.7 < 5 < 8 * 0.7
    assert chance(7, 5, (Rate(0.7),)) == pytest.approx(stats.binom.sf(4, 7, 0.7), abs=1e-12)
    assert chance(7, 5, (Rate(0.7),)) == pytest.approx(0.647, abs=0.001)
    assert start(5, (Rate(0.7),), 0.9).count == 9
    assert stats.binom.sf(4, 8, 0.7) < 0.9 <= stats.binom.sf(4, 9, 0.7)


def test_cells_filled_by_seeds_sown_in_each() -> None:
    """1 - (1 - g) ** n: at 80 %, two seeds leave 4 % of cells empty and fill 64 % with two. Barnett and McGilvrary
    1997 (USDA Forest Service SRS-14): at 70 to 80 %, two seeds a cavity."""
    for germination in (0.5, 0.7, 0.8, 0.9, 0.95):
        for seeds in range(1, 8):
            assert chance(seeds, 1, (Rate(germination),)) == pytest.approx(1 - (1 - germination) ** seeds, abs=1e-12)
    assert survivors(2, (Rate(0.8),)) == pytest.approx((0.04, 0.32, 0.64))
    fewest = {0.95: 1, 0.9: 1, 0.8: 2, 0.7: 2, 0.6: 3, 0.5: 4, 0.4: 5, 0.3: 7}
    assert {g: start(1, (Rate(g),), 0.9).count for g in fewest} == fewest


@given(st.integers(1, 150), st.lists(RATES, min_size=1, max_size=4), st.floats(0.05, 0.97), st.floats(0.05, 0.97))
@examples(25)
def test_more_sureness_never_needs_fewer(want: int, rates: list[Rate], one: float, two: float) -> None:
    low, high = sorted((one, two))
    with suppress(TooUnsure):  # some of these rates give so many with 96 % and never with 97
        surer = start(want, rates, high)
        assert start(want, rates, low).count <= surer.count


@given(st.integers(1, 120), st.floats(0.2, 0.9), st.floats(0.0, 0.09), st.one_of(st.none(), st.floats(3, 90)))
@examples(25)
def test_a_better_rate_never_needs_more(want: int, mean: float, better: float, weight: float | None) -> None:
    """A beta of the same weight and a greater mean lies above the other (stochastic order)."""
    other = Rate(0.9, 20.0)
    worse, good = Rate(mean, weight), Rate(mean + better, weight)
    assert start(want, (good, other), 0.9).count <= start(want, (worse, other), 0.9).count


@given(st.integers(1, 100), st.lists(RATES, min_size=1, max_size=3))
@examples(25)
def test_the_start_is_the_smallest(want: int, rates: list[Rate]) -> None:
    found = start(want, rates, 0.85)
    assert found.sure == chance(found.count, want, rates) >= 0.85 - 1e-9
    assert chance(found.count - 1, want, rates) < 0.85


@given(st.integers(1, 3000), st.lists(RATES, min_size=1, max_size=4), st.data())
@examples(40)
def test_chances_lie_in_0_to_1_and_fall_as_more_is_asked(count: int, rates: list[Rate], data: st.DataObject) -> None:
    asked = sorted(data.draw(st.lists(st.integers(0, count + 1), min_size=2, max_size=4)))
    odds = [chance(count, j, rates) for j in asked]
    assert all(0 <= p <= 1 for p in odds)
    assert all(a >= b - 1e-9 for a, b in pairwise(odds))


def test_what_each_sureness_costs() -> None:
    found = costs(50, (Rate(0.8),))
    assert [(sure, s.count) for sure, s in found] == [(0.8, 66), (0.9, 68), (0.95, 69)]


def test_what_cannot_be_asked_is_refused() -> None:
    for sure in (0.0, 1.0, -0.1, 1.1):
        with pytest.raises(ValueError, match="certainty"):
            start(10, (Rate(0.5),), sure)
    with pytest.raises(ValueError, match="want"):
        start(-1, (Rate(0.5),), 0.9)
    for rates in ((Rate(0.0),), (Rate(0.5, 0.1),)):
        with pytest.raises(TooUnsure):
            start(10, rates, 0.95)
    with pytest.raises(TooUnsure):
        start(MOST_IN_BATCH + 1, (), 0.9)
    assert start(0, (Rate(0.5),), 0.9).count == 0
    assert start(7, (), 0.9).count == 7


@pytest.mark.parametrize("count", [0, 1, 7, 300, 1000, 4000, 4001, 50_000])
@pytest.mark.parametrize("sure", sampled([0.9, 0.05, 0.5, 0.999], 2))
def test_the_most_that_come_through_surely_is_the_last_that_does(count: int, sure: float) -> None:
    """Both ways of finding it, and both sides of where one takes over: against the chance itself."""
    for rates in ((), (Rate(0.7, 5.0), Rate(0.9, 20.0)), (Rate(0.02, 3.0),), (Rate(0.999, 4.0),), (Rate(0.6),)):
        most = surely(count, rates, sure)
        assert 0 <= most <= count
        assert chance(count, most, rates) >= sure - 1e-9
        assert most == count or chance(count, most + 1, rates) < sure + 1e-9


def test_what_is_started_for_a_count_gives_it_surely() -> None:
    rates = (Rate(0.7, 5.0), Rate(0.9, 20.0))
    for want in (1, 40, 900):
        started = start(want, rates, 0.9)
        assert surely(started.count, rates, 0.9) >= want > surely(started.count - 1, rates, 0.9)
