"""Rates learned from records, against a maximum-likelihood fit by scipy and what must hold of any estimate."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats

from engine.odds.ranges import least_weight
from engine.odds.rates import Learned, Rate, Went, book_rate, learn, learned_rate
from engine.odds.starts import start
from tests.sampled import examples, sampled

RECORDS = st.lists(
    st.integers(1, 400).flatmap(lambda n: st.integers(0, n).map(lambda k: Went(k, n))), min_size=1, max_size=12
)


def likeliest(records: list[Went]) -> tuple[float, float]:
    """Mean and weight of the beta-binomial that makes the records likeliest, by scipy."""
    through = np.array([r.through for r in records])
    into = np.array([r.into for r in records])

    def unlikely(x: np.ndarray) -> float:
        mean, weight = 1 / (1 + np.exp(-x[0])), np.exp(x[1])
        return -stats.betabinom.logpmf(through, into, mean * weight, (1 - mean) * weight).sum()

    best = optimize.minimize(unlikely, (0.5, 2.0), method="Nelder-Mead").x
    return float(1 / (1 + np.exp(-best[0]))), float(np.exp(best[1]))


def made_up(seed: int, batches: int, mean: float, weight: float) -> list[Went]:
    rng = np.random.default_rng(seed)
    sizes = rng.integers(20, 300, batches)
    shares = rng.beta(mean * weight, (1 - mean) * weight, batches)
    return [Went(int(rng.binomial(n, p)), int(n)) for n, p in zip(sizes, shares, strict=True)]


@pytest.mark.parametrize(("mean", "weight"), [(0.7, 10.0), (0.5, 4.0), (0.85, 20.0), (0.3, 8.0)])
@pytest.mark.parametrize("seed", sampled([1, 2, 3], 3))
def test_many_batches_agree_with_maximum_likelihood(mean: float, weight: float, seed: int) -> None:
    records = made_up(seed, 120, mean, weight)
    best_mean, best_weight = likeliest(records)
    got = learned_rate(Rate(0.8, 3.0), records)
    assert got.mean == pytest.approx(best_mean, abs=0.02)
    assert got.weight is not None
    assert 0.65 * best_weight < got.weight < 1.5 * best_weight


@pytest.mark.parametrize("seed", range(5))
def test_few_batches_lie_between_the_book_and_maximum_likelihood(seed: int) -> None:
    records = made_up(seed, 4, 0.5, 12.0)
    best, _ = likeliest(records)
    got = learned_rate(Rate(0.8, 3.0), records)
    low, high = sorted((best, 0.8))
    assert low - 0.02 <= got.mean <= high + 0.02


def test_no_records_give_the_book_again() -> None:
    assert learned_rate(Rate(0.8, 3.0), ()) == Rate(0.8, 3.0)
    assert learn(Rate(0.8, 3.0), [(), (), ()]).rate == Rate(0.8, 3.0)


def test_412_cuttings_in_three_batches_are_three_looks_not_412() -> None:
    batches = [Went(150, 200), Went(49, 112), Went(85, 100)]
    got = learned_rate(Rate(0.8, 3.0), batches)
    assert got.weight is not None
    assert got.weight < 20  # not hundreds: the next batch may come out as these did, 44 to 85 %
    assert learned_rate(Rate(0.8, 3.0), [Went(284, 412)]).mean > got.mean  # one look moves the book less than three
    tenfold = learned_rate(Rate(0.8, 3.0), [Went(r.through * 10, r.into * 10) for r in batches])
    assert tenfold.mean == pytest.approx(got.mean, abs=0.01)
    assert tenfold.weight == pytest.approx(got.weight, rel=0.1)


def test_three_large_batches_weigh_as_much_as_a_book_worth_three() -> None:
    got = learned_rate(Rate(0.8, 3.0), [Went(60_000, 100_000)] * 3)
    assert got.mean == pytest.approx((0.8 + 0.6) / 2, abs=0.001)


def test_batches_alike_make_the_next_one_surer_and_batches_unlike_less_sure() -> None:
    alike = learned_rate(Rate(0.8, 3.0), [Went(160, 200)] * 5)
    unlike = learned_rate(
        Rate(0.8, 3.0), [Went(200, 200), Went(120, 200), Went(200, 200), Went(80, 200), Went(200, 200)]
    )
    assert alike.weight is not None
    assert unlike.weight is not None
    assert least_weight(unlike.mean) <= unlike.weight < 8 < alike.weight


def test_one_batch_that_failed_whole_leaves_a_start_possible() -> None:
    """Lifting of 95 in 100, and once none of twenty: worse, and unsure, but not as if nothing could ever come."""
    book = book_rate(0.95, (0.9, 1.0))
    after = learned_rate(book, [Went(0, 20)])
    assert 0.6 < after.mean < 0.9
    assert after.weight is not None
    assert start(100, (book,), 0.9).count < start(100, (after,), 0.9).count < 400
    many = learned_rate(book, [Went(0, 20)] * 8)
    assert many.mean < after.mean / 2


def test_the_more_batches_the_less_of_the_spread_is_the_means_own() -> None:
    """Worth 3 with the book alone, 3 + k with k great batches: the mean's part is 1 in 1 + those (section 2.3, Gelman
    et al. 2013: the next value's variance is that of one value times 1 + 1 / n)."""
    book = book_rate(0.7, (0.5, 0.9))
    assert book.common == pytest.approx(1 / 4)
    for batches in (1, 4, 12):
        learned = learned_rate(book, [Went(70_000, 100_000)] * batches)
        assert learned.common == pytest.approx(1 / (4 + batches), rel=0.01)


def test_a_cultivar_leans_on_its_species_and_genus_where_its_own_batches_are_few() -> None:
    genus = [Went(120, 200)] * 4
    species = [Went(100, 200)] * 6
    means = [learn(Rate(0.9, 3.0), (genus, species, [Went(180, 200)] * k)).rate.mean for k in (0, 1, 3, 30)]
    alone = learn(Rate(0.9, 3.0), ([Went(180, 200)],)).rate.mean
    assert 0.5 < means[0] < 0.65
    assert means == sorted(means)
    assert means[-1] == pytest.approx(0.9, abs=0.04)
    assert means[1] < alone


@given(RECORDS, st.floats(0.05, 0.95), st.floats(1, 30), st.floats(0.5, 5))
@examples(150)
def test_any_records_give_a_usable_rate_between_book_and_records(
    records: list[Went], book: float, weight: float, worth: float
) -> None:
    got = learned_rate(Rate(book, weight), records, worth)
    shares = [book, *(r.through / r.into for r in records)]
    assert min(shares) - 1e-9 <= got.mean <= max(shares) + 1e-9
    assert got.weight is None or least_weight(got.mean) - 1e-9 <= got.weight <= 1e6


@given(RECORDS, st.integers(0, 11))
@examples(100)
def test_the_order_of_the_records_does_not_matter(records: list[Went], turn: int) -> None:
    turned = records[turn % len(records) :] + records[: turn % len(records)]
    one, two = (learned_rate(Rate(0.7, 3.0), r) for r in (records, turned))
    assert (one.mean, one.weight) == pytest.approx((two.mean, two.weight), rel=1e-5)


def test_words_name_the_spread_the_batches_and_the_book() -> None:
    low, high = (100 * stats.beta.ppf(q, 0.71 * 12, 0.29 * 12) for q in (0.05, 0.95))
    said = Learned(Rate(0.71, 12.0), 3, 0, 0.8).says("elder hardwood")
    assert said == f"your elder hardwood: 71 % (batches {low:.0f} to {high:.0f}), from 3 batches; library 80 %"
    assert "by the library; no batch of yours" in Learned(Rate(0.8, 3.0), 0, 0, 0.8).says("elder hardwood")
    assert "1 batch and 4 of related plants;" in Learned(Rate(0.7, 3.0), 1, 4, 0.8).says("elder hardwood")


def test_the_chance_to_come_through_several_years_is_the_betas_moment() -> None:
    for times in range(7):
        assert Rate(0.9, 12.0).over(times) == pytest.approx(stats.beta(10.8, 1.2).moment(times) if times else 1)
    assert Rate(0.9).over(3) == pytest.approx(0.729)


@pytest.mark.parametrize(("mean", "weight"), [(-0.1, None), (1.1, None), (0.5, 0.0), (0.5, float("inf"))])
def test_rates_that_are_none_are_refused(mean: float, weight: float | None) -> None:
    with pytest.raises(ValueError, match="rate"):
        Rate(mean, weight)


@pytest.mark.parametrize(("through", "into"), [(3, 2), (-1, 5), (0, 0)])
def test_records_that_cannot_be_are_refused(through: int, into: int) -> None:
    with pytest.raises(ValueError, match="cannot"):
        Went(through, into)
