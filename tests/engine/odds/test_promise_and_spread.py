"""What several lots give by a date, against simulation; and what splitting a need does and does not change."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from engine.odds.promise import YEAR_DAYS, Coming, expected, outlook, promise
from engine.odds.rates import Rate
from engine.odds.spread import falling_short, in_two, split

LOSSES = {"mist bench": 0.2, "cold store": 0.07, "field": 0.0}
LOTS = (
    Coming(120, (Rate(0.6, 4.0), Rate(0.9, 20.0), Rate(0.95)), "mist bench", 300),
    Coming(80, (Rate(0.7, 5.0),), "mist bench", 120),
    Coming(60, (Rate(0.85),), "mist bench", 300),
    Coming(200, (Rate(0.5, 3.0), Rate(0.8, 8.0)), "cold store", 150),
    Coming(35, (), "field", 300),
)
COMINGS = st.lists(
    st.builds(
        Coming,
        st.integers(0, 60),
        st.lists(st.builds(Rate, st.floats(0.2, 0.98), st.one_of(st.none(), st.floats(2, 50))), max_size=3).map(tuple),
        st.sampled_from(sorted(LOSSES)),
        st.floats(0, 800),
    ),
    min_size=1,
    max_size=4,
)


def drawn(lots: tuple[Coming, ...], losses: dict[str, float], draws: int, seed: int) -> np.ndarray:
    """How many are there in each draw: each place's first loss is a day from an exponential clock."""
    rng = np.random.default_rng(seed)
    never = np.full(draws, np.inf)
    first = {p: rng.exponential(YEAR_DAYS / -np.log(1 - q), draws) if q else never for p, q in losses.items()}
    total = np.zeros(draws, dtype=int)
    for lot in lots:
        count = np.full(draws, lot.count)
        for rate in lot.rates:
            p = rate.mean
            if rate.weight is not None:
                p = rng.beta(rate.mean * rate.weight, (1 - rate.mean) * rate.weight, draws)
            count = rng.binomial(count, p)
        total += np.where(first[lot.place] < lot.days, 0, count)
    return total


@pytest.mark.parametrize("seed", [1, 2])
def test_the_outlook_agrees_with_200_000_draws(seed: int) -> None:
    """Every count's chance of being reached lies within 4.5 standard errors of the share of draws that reach it."""
    draws = 200_000
    there = drawn(LOTS, LOSSES, draws, seed)
    odds = np.array(outlook(LOTS, LOSSES))
    tails = np.clip(np.cumsum(odds[::-1])[::-1], 0, 1)
    seen = np.array([(there >= j).mean() for j in range(len(tails))])
    error = 4.5 * np.sqrt(tails * (1 - tails) / draws) + 1e-5
    assert (np.abs(seen - tails) <= error).all()
    assert there.mean() == pytest.approx(expected(LOTS, LOSSES), abs=4.5 * there.std() / draws**0.5)
    for sure in (0.8, 0.9, 0.95):
        given_word = promise(LOTS, LOSSES, sure, 20)
        assert given_word.free + 20 == pytest.approx(np.quantile(there, 1 - sure), abs=2)
        assert given_word.kept == pytest.approx((there >= 20).mean(), abs=0.002)


def test_lots_without_steps_or_losses_are_all_there() -> None:
    stock = (Coming(40), Coming(25))
    assert outlook(stock, {})[65] == pytest.approx(1, abs=1e-12)
    assert promise(stock, {}, 0.95, 30).free == 35
    assert promise(stock, {}, 0.95, 80).free == 0
    assert promise(stock, {}, 0.95, 80).kept == 0


def test_two_known_lots_add_up_as_scipys_binomial_does() -> None:
    odds = outlook((Coming(90, (Rate(0.3),)), Coming(60, (Rate(0.3),), "field", 90)), LOSSES)
    assert np.abs(np.array(odds) - stats.binom.pmf(np.arange(151), 150, 0.3)).max() < 1e-11


def test_a_place_with_a_loss_a_year_in_five_loses_one_lot_in_five_over_a_year() -> None:
    odds = outlook((Coming(10, (), "mist bench", YEAR_DAYS), Coming(5, (), "mist bench", YEAR_DAYS)), LOSSES)
    assert odds[0] == pytest.approx(0.2)
    assert odds[15] == pytest.approx(0.8)
    assert sum(odds[1:15]) == pytest.approx(0, abs=1e-12)


def test_the_lot_that_leaves_first_is_spared_what_comes_later() -> None:
    odds = outlook((Coming(10, (), "mist bench", 0), Coming(5, (), "mist bench", YEAR_DAYS)), LOSSES)
    assert (odds[10], odds[15]) == pytest.approx((0.2, 0.8))


@given(COMINGS)
@settings(max_examples=60, deadline=None)
def test_odds_are_odds_and_their_mean_is_the_expected_count(lots: list[Coming]) -> None:
    odds = outlook(lots, LOSSES)
    assert all(0 <= p <= 1 for p in odds)
    assert sum(odds) == pytest.approx(1, abs=1e-9)
    assert sum(k * p for k, p in enumerate(odds)) == pytest.approx(expected(lots, LOSSES), abs=1e-6)


@given(COMINGS, st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.integers(0, 30))
@settings(max_examples=60, deadline=None)
def test_more_sureness_never_lets_more_be_promised(lots: list[Coming], one: float, two: float, promised: int) -> None:
    low, high = sorted((one, two))
    assert promise(lots, LOSSES, low, promised).free >= promise(lots, LOSSES, high, promised).free


@given(
    st.integers(0, 200), st.lists(st.floats(0.1, 5), min_size=1, max_size=4), st.floats(0.2, 0.95), st.floats(0, 900)
)
@settings(max_examples=80, deadline=None)
def test_splitting_never_changes_the_expected_total(count: int, shares: list[float], mean: float, days: float) -> None:
    whole = Coming(count, (Rate(mean, 4.0),), "mist bench", days)
    parts = split(whole, shares)
    assert sum(part.count for part in parts) == count
    assert expected(parts, LOSSES) == pytest.approx(expected((whole,), LOSSES))


def test_two_sowings_in_two_places_fall_short_less_than_one() -> None:
    losses = {"mist bench": 0.15, "frame": 0.15}
    one = Coming(100, (Rate(0.7, 4.0),), "mist bench", 200)
    apart = in_two(30, one, Coming(0, one.rates, "frame", 200), losses)
    beside = in_two(30, one, Coming(0, one.rates, "mist bench", 200), losses)
    assert apart.two.expected == pytest.approx(apart.one.expected)
    assert apart.two.short < beside.two.short < beside.one.short
    lost = 1 - 0.85 ** (200 / YEAR_DAYS)
    assert beside.two.short > lost  # two lots in one place spread nothing of its loss


def test_against_a_places_loss_alone_two_lots_there_are_as_one() -> None:
    losses = {"frame": 0.15, "tunnel": 0.15}
    one = Coming(100, (), "frame", YEAR_DAYS)
    assert in_two(40, one, one, losses).gain == pytest.approx(0, abs=1e-12)
    apart = in_two(40, one, Coming(0, (), "tunnel", YEAR_DAYS), losses)
    assert apart.two.short == pytest.approx(0.15**2)


def test_another_route_takes_over_as_many_as_are_expected() -> None:
    one = Coming(100, (Rate(0.8, 5.0),), "frame", 100)
    spread = in_two(40, one, Coming(0, (Rate(0.4, 5.0),), "field", 100), {})
    assert [lot.count for lot in spread.two.lots] == [50, 100]
    assert spread.two.expected == pytest.approx(80)
    assert spread.gain > 0


@given(COMINGS, st.integers(0, 100), st.integers(0, 100))
@settings(max_examples=40, deadline=None)
def test_a_greater_need_is_never_likelier_met(lots: list[Coming], one: int, two: int) -> None:
    low, high = sorted((one, two))
    assert 0 <= falling_short(low, lots, LOSSES) <= falling_short(high, lots, LOSSES) <= 1


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="sureness"):
        promise(LOTS, LOSSES, 1.0)
    with pytest.raises(ValueError, match="loses"):
        outlook((Coming(1, (), "shed", 10),), {"shed": 1.0})
    with pytest.raises(ValueError, match="share"):
        split(Coming(10), (1, 0))
    with pytest.raises(ValueError, match="nothing comes"):
        in_two(1, Coming(10), Coming(0, (Rate(0.0),)), {})
