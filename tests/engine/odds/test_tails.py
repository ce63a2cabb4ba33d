"""The odds of a lot coming through its steps, against scipy's distributions and a chain of them step by step."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy import stats

from engine.odds.rates import Rate
from engine.odds.survivors import survivors
from engine.odds.tails import chance
from tests.sampled import sampled, share


def step_by_step(count: int, rates: tuple[Rate, ...]) -> np.ndarray:
    """The odds after each step from those before it, each count thinned by scipy's binomial or beta-binomial."""
    odds = np.zeros(count + 1)
    odds[count] = 1
    for rate in rates:
        after = np.zeros(count + 1)
        for k in np.flatnonzero(odds):
            ks = np.arange(k + 1)
            if rate.weight is None:
                after[: k + 1] += odds[k] * stats.binom.pmf(ks, k, rate.mean)
            else:
                a, b = rate.mean * rate.weight, (1 - rate.mean) * rate.weight
                after[: k + 1] += odds[k] * stats.betabinom.pmf(ks, k, a, b)
        odds = after
    return odds


def some_rate(rng: random.Random) -> Rate:
    mean = rng.choice((rng.uniform(0.01, 0.99), rng.uniform(0.4, 0.95), 1 - 10 ** -rng.uniform(1, 3.5)))
    return Rate(mean, rng.choice((None, 3.0, 10 ** rng.uniform(-1, 4), 10 ** rng.uniform(0.5, 2))))


@pytest.mark.parametrize("seed", sampled(range(60), 3))
def test_several_steps_agree_with_a_chain_of_scipys_distributions(seed: int) -> None:
    rng = random.Random(seed)
    count = rng.choice((1, 2, 7, 30, 41, 45, 60, 90, 140))
    rates = tuple(some_rate(rng) for _ in range(rng.randint(1, 5)))
    exact = step_by_step(count, rates)
    got = survivors(count, rates)
    assert np.abs(np.array(got) - exact).max() < 1e-9
    assert abs(sum(got) - 1) < 1e-12
    for j in (1, count // 2, count):
        assert chance(count, j, rates) == pytest.approx(exact[j:].sum(), abs=1e-9)


def test_large_lots_through_one_step_agree_with_scipys_beta_binomial() -> None:
    """Scipy's own sum of log-gammas is good to about 3e-10 at 80,000."""
    rng = random.Random(3)
    for _ in range(share(250)):
        count = int(10 ** rng.uniform(1.7, 4.9))
        a, b, least = 10 ** rng.uniform(-1.5, 3), 10 ** rng.uniform(-1.5, 3), rng.randint(1, count)
        got = chance(count, least, (Rate(a / (a + b), a + b),))
        assert got == pytest.approx(stats.betabinom.sf(least - 1, count, a, b), abs=1e-9), (count, least, a, b)


def test_large_lots_through_known_steps_agree_with_scipys_binomial() -> None:
    rng = random.Random(4)
    for _ in range(share(250)):
        count, rate = int(10 ** rng.uniform(1.7, 5)), rng.uniform(0.02, 0.999)
        spread = (count * rate * (1 - rate)) ** 0.5
        least = max(1, min(count, int(count * rate + rng.gauss(0, 3) * spread)))
        got = chance(count, least, (Rate(rate**0.4), Rate(rate**0.6)))
        assert got == pytest.approx(stats.binom.sf(least - 1, count, rate), abs=1e-9), (count, least, rate)


def test_five_unsure_steps_of_ten_thousand_wanted_agree_with_quadrature_in_the_last_rate() -> None:
    """Four of the steps drawn as scipy's betas on a seed, the fifth integrated: within four standard errors."""
    shapes = ((9.0, 1.0), (16.0, 4.0), (3.5, 1.5), (18.0, 12.0))
    rng = np.random.default_rng(11)
    p = np.prod([rng.beta(a, b, 400_000) for a, b in shapes], axis=0)
    needed = 10_000 / 68_000
    sampled = stats.beta.sf(np.minimum(needed / p, 1), 7.2, 0.8)
    rates = tuple(Rate(a / (a + b), a + b) for a, b in (*shapes, (7.2, 0.8)))
    # a lot of 68,000 hardly differs from its rate: the binomial adds under 1e-4 to the odds
    error = 4 * sampled.std() / len(sampled) ** 0.5 + 1e-4
    assert chance(68_000, 10_000, rates) == pytest.approx(sampled.mean(), abs=error)


def test_what_cannot_be_and_what_must_be() -> None:
    rates = (Rate(0.7, 5.0),)
    assert chance(10, 0, rates) == 1
    assert chance(10, 11, rates) == 0
    assert survivors(0, rates) == (1.0,)
    assert survivors(3, ()) == (0.0, 0.0, 0.0, 1.0)
    assert survivors(3, (Rate(1.0, 4.0),)) == (0.0, 0.0, 0.0, 1.0)
    assert survivors(2, (Rate(0.0), Rate(0.5, 3.0))) == (1.0, 0.0, 0.0)


@pytest.mark.parametrize("seed", sampled(range(24), 3))
def test_the_odds_of_every_count_add_up_to_the_chance_along_the_line(seed: int) -> None:
    """Two ways that share nothing: the recurrence of the moments, and the integral in the complex plane."""
    rng = random.Random(seed)
    count = rng.choice((601, 1200, 2500))  # of smaller lots the chance is a sum of the odds
    rates = tuple(Rate(rng.uniform(0.3, 0.97), 10 ** rng.uniform(-0.3, 3)) for _ in range(rng.randint(1, 5)))
    tails = np.cumsum(survivors(count, rates)[::-1])[::-1]
    for j in (1, count // 5, count // 2, 4 * count // 5, count - 45, count):
        assert tails[j] == pytest.approx(chance(count, j, rates), abs=2e-9)


def test_where_floats_lose_every_figure_decimals_give_the_odds() -> None:
    """Five steps, three of them worth less than half a plant, in a lot of 3,000: in floats the mean is out by a tenth.

    The moments of a product are products of those of the betas, a / w and a (a + 1) / (w (w + 1)) (from memory).
    """
    shapes = ((0.41, 1.05), (0.44, 0.3), (0.84, 15.7), (0.61, 1.14), (0.5, 0.35))
    rates = tuple(Rate(mean, weight) for mean, weight in shapes)
    odds = np.array(survivors(3000, rates))
    j = np.arange(3001)
    first = np.prod([mean for mean, _ in shapes])
    second = np.prod([mean * (mean * weight + 1) / (weight + 1) for mean, weight in shapes])
    assert (odds >= 0).all()
    assert odds.sum() == pytest.approx(1, abs=1e-12)
    assert (j * odds).sum() == pytest.approx(3000 * first, rel=1e-9)
    assert (j * (j - 1) * odds).sum() == pytest.approx(3000 * 2999 * second, rel=1e-9)
    assert odds[1500:].sum() == pytest.approx(chance(3000, 1500, rates), abs=2e-9)
