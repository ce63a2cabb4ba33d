"""Parts of a batch and batches of a kind: against plain draws, and what splitting and joining must not change."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.odds.batches_in_common import BINS, by_luck, told_by
from engine.odds.fates import outlook, outlook_of
from engine.odds.lots_to_come import Coming, Stay
from engine.odds.promise import expected, promise, tails_of
from engine.odds.rates import Rate, book_rate
from engine.odds.survivors import survivors
from tests.engine.odds.lots import LOSSES, drawn, shape
from tests.sampled import examples, sampled

STICK, LIFT, GRADE = book_rate(0.6, (0.4, 0.8)), book_rate(0.92, (0.84, 1.0)), book_rate(0.85, (0.77, 0.93))
CHAIN = (STICK, LIFT, GRADE)
DRAWS = 100_000


def tails(odds: tuple[float, ...]) -> np.ndarray:
    return np.clip(np.cumsum(np.array(odds)[::-1])[::-1], 0, 1)


def agrees(odds: tuple[float, ...], there: np.ndarray, slack: float = 1e-5) -> None:
    """Every count's chance of being reached lies within 4.5 standard errors of the share of draws that reach it."""
    chances = tails(odds)
    seen = np.array([(there >= j).mean() for j in range(len(chances))])
    assert (np.abs(seen - chances) <= 4.5 * np.sqrt(chances * (1 - chances) / len(there)) + slack).all()


def test_four_batches_by_the_books_rate_are_as_sure_as_draws_that_share_the_mean() -> None:
    """First the mean of the method, a beta that holds a quarter of the spread, then each batch about it: what the book
    says, drawn plainly. Counted as if the batches knew nothing of each other, nine in ten would be fewer."""
    rng = np.random.default_rng(4)
    lots = [Coming(100, (STICK,), kind="elder") for _ in range(4)]
    assert STICK.weight is not None
    whole = STICK.mean * (1 - STICK.mean) / (STICK.weight + 1)
    mean_weight = STICK.mean * (1 - STICK.mean) / (whole * STICK.common) - 1
    means = rng.beta(STICK.mean * mean_weight, (1 - STICK.mean) * mean_weight, DRAWS)
    between = (STICK.mean * (1 - STICK.mean) - whole * STICK.common) / (whole * (1 - STICK.common)) - 1
    there = sum(rng.binomial(100, rng.beta(means * between, (1 - means) * between)) for _ in lots)
    for sure in (0.8, 0.9, 0.95):
        assert (there >= promise(lots, {}, sure).free).mean() == pytest.approx(sure, abs=0.011)
    apart = promise([replace(each, kind="") for each in lots], {}, 0.9).free
    assert (there >= apart).mean() < 0.88


@pytest.mark.parametrize("seed", sampled([1, 2], 2))
def test_the_outlook_of_batches_of_kinds_agrees_with_100_000_draws(seed: int) -> None:
    lots = (
        Coming(120, CHAIN, (Stay("mist bench", 300),), "A", "elder"),
        Coming(80, CHAIN, (Stay("mist bench", 120), Stay("cold store", 400, 120)), "B", "elder"),
        Coming(40, CHAIN, (Stay("cold store", 400),), "B", "elder"),
        Coming(60, (GRADE,), (Stay("mist bench", 100),), "C", "elder"),
        Coming(90, (book_rate(0.4, (0.2, 0.6)), GRADE), (Stay("cold store", 250),), "D", "plum"),
        Coming(50, (book_rate(0.4, (0.2, 0.6)), GRADE), (), "E", "plum"),
        Coming(35, (), (Stay("mist bench", 300),)),
    )
    there = sum(drawn(lots, LOSSES, DRAWS, seed), np.zeros(DRAWS, dtype=int))
    agrees(outlook(lots, LOSSES), there)
    assert there.mean() == pytest.approx(expected(lots, LOSSES), abs=4.5 * there.std() / DRAWS**0.5)


@given(
    st.integers(1, 160),
    st.lists(st.floats(0.3, 0.97), min_size=1, max_size=3),
    st.floats(4, 60),
    st.floats(0.02, 0.6),
)
@examples(40)
def test_taken_over_all_luck_a_batch_is_what_it_is_alone(
    count: int, means: list[float], weight: float, common: float
) -> None:
    rates = tuple(Rate(mean, weight, common) for mean in means)
    bins = by_luck(count, rates)
    assert len(bins) == BINS
    assert np.abs(np.mean(bins, axis=0) - survivors(count, rates)).max() < 1e-9
    means_by_luck = [float(np.dot(range(count + 1), odds)) for odds in bins]
    assert all(a <= b + 1e-9 for a, b in pairwise(means_by_luck))


@pytest.mark.parametrize("rates", [(STICK,), CHAIN, (GRADE,), (book_rate(0.15, (0.07, 0.23)), LIFT, GRADE)])
def test_as_much_is_common_as_the_rates_say(rates: tuple[Rate, ...]) -> None:
    """The correlation of two batches' shares, in draws."""
    lots = [Coming(100_000, rates, kind="k", batch=name) for name in "AB"]
    one, two = drawn(lots, {}, DRAWS, 3)
    assert told_by(rates) > 0
    assert np.corrcoef(one, two)[0, 1] == pytest.approx(0.25, abs=0.04)


@given(
    st.lists(st.integers(1, 60), min_size=1, max_size=6),
    st.sampled_from([(STICK,), CHAIN, (GRADE,), ()]),
    st.floats(0, 500),
    st.sampled_from([0.8, 0.9, 0.95]),
)
@examples(40)
def test_splitting_parting_and_joining_never_change_what_can_be_promised(
    parts: list[int], rates: tuple[Rate, ...], days: float, sure: float
) -> None:
    stays = (Stay("mist bench", days),)
    other = Coming(70, CHAIN, (Stay("cold store", 200),), "other", "elder")
    whole = Coming(sum(parts), rates, stays, "A", "elder")
    parted = [replace(whole, count=count) for count in parts]
    assert promise(parted, LOSSES, sure, 10) == promise([whole], LOSSES, sure, 10)
    assert tails_of([*parted, other], LOSSES) == tails_of([whole, other], LOSSES)


def test_parts_in_two_places_spread_the_places_losses_and_no_more() -> None:
    half = Coming(50, (STICK,), (Stay("mist bench", 400),), "A", "elder")
    moved = replace(half, stays=(Stay("cold store", 400),))
    one, two = outlook([half, half], LOSSES), outlook([half, moved], LOSSES)
    there = sum(drawn([half, moved], LOSSES, DRAWS, 5))
    agrees(two, there)
    assert two[0] < one[0]
    free = {"mist bench": 0.0, "cold store": 0.0}
    assert outlook([half, moved], free) == pytest.approx(survivors(100, (STICK,)), abs=1e-12)


def test_parts_that_are_not_equally_far_on_share_the_steps_that_both_have_to_come() -> None:
    rng = np.random.default_rng(8)
    lots = [
        Coming(80, (GRADE,), (), "A", "elder"),
        Coming(90, (LIFT, GRADE), (), "A", "elder"),
        Coming(70, CHAIN, (Stay("mist bench", 300),), "A", "elder"),
    ]
    stick, lift, grade = (rng.beta(*shape(rate), DRAWS) for rate in CHAIN)
    spared = rng.random(DRAWS) < 0.8 ** (300 / 365.25)
    there = rng.binomial(80, grade) + rng.binomial(90, lift * grade)
    there += np.where(spared, rng.binomial(70, stick * lift * grade), 0)
    agrees(outlook(lots, LOSSES), there, slack=3e-4)


@pytest.mark.parametrize("count", sampled([10, 15], 2))
def test_many_lots_in_many_places_are_followed_and_the_error_is_told(count: int) -> None:
    """More sets of lots may be left than are told apart plant by plant; a promise at 90 % holds in as many draws."""
    losses = {place: 0.05 + 0.02 * n for n, place in enumerate("abcdef")}
    lots = []
    for n in range(count):
        a, b, c = (list("abcdef")[(n * step + step) % 6] for step in (1, 2, 5))
        legs = (Stay(a, 90 + 9 * n), Stay(b, 220 + 5 * n, 90 + 9 * n), Stay(c, 420 + 3 * n, 220 + 5 * n))
        lots.append(Coming(60 + 7 * n, (STICK, LIFT), legs, f"b{n}"))
    found = outlook_of(lots, losses)
    assert found.error < 0.02
    there = sum(drawn(lots, losses, DRAWS, 6))
    chances = tails(found.odds)
    seen = np.array([(there >= j).mean() for j in range(len(chances))])
    below = chances - seen
    assert below.max() < 0.004
    assert below.min() > -found.error - 0.004
    for sure in (0.8, 0.9, 0.95):
        word = promise(lots, losses, sure)
        assert word.error == found.error
        assert sure - 0.004 <= (there >= word.free).mean() <= sure + found.error + 0.006
