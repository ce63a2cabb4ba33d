"""From the range of nine batches in ten to a beta, against scipy's own beta."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from engine.odds.ranges import WIDEST, beta_below, least_weight, usual_range, weight_of
from engine.odds.rates import BOOK_BATCHES, book_rate

MEANS = st.floats(0.02, 0.98)


@given(st.floats(0.05, 2000), st.floats(0.05, 2000), st.floats(0, 1))
def test_a_beta_below_is_scipys(a: float, b: float, x: float) -> None:
    assert beta_below(a, b, x) == pytest.approx(stats.beta.cdf(x, a, b), abs=1e-9)


@pytest.mark.parametrize(("mean", "low", "high"), [(0.42, 0.25, 0.6), (0.7, 0.5, 0.85), (0.95, 0.9, 1), (0.1, 0, 0.2)])
def test_nine_draws_of_ten_keep_to_the_range(mean: float, low: float, high: float) -> None:
    weight = weight_of(mean, low, high)
    a, b = mean * weight, (1 - mean) * weight
    assert stats.beta.cdf(high, a, b) - stats.beta.cdf(low, a, b) == pytest.approx(0.9, abs=1e-6)


@given(MEANS, st.floats(0.01, 0.45))
def test_the_usual_range_lies_within_0_to_1_and_holds_the_mean(mean: float, within: float) -> None:
    low, high = usual_range(mean, within)
    assert 0 < low < mean < high <= 1 + 1e-12
    assert high - low <= 2 * within + 1e-12
    rate = book_rate(mean, (low, min(1.0, high)))
    assert rate.mean == mean
    assert rate.common == pytest.approx(1 / (1 + BOOK_BATCHES))
    assert rate.weight is not None
    a, b = rate.mean * rate.weight, (1 - rate.mean) * rate.weight
    assert min(a, b) >= 1 - 1e-9
    assert stats.beta.cdf(min(1.0, high), a, b) - stats.beta.cdf(low, a, b) >= 0.9 - 1e-6


@given(MEANS)
def test_no_range_however_wide_is_wider_than_ignorance(mean: float) -> None:
    """A flat beta (1, 1) says nothing: nine draws of ten lie in nine tenths of 0 to 1."""
    assert weight_of(mean, 0.0, 1.0) == least_weight(mean)
    assert least_weight(0.5) == 2
    assert stats.beta.cdf(0.95, 1, 1) - stats.beta.cdf(0.05, 1, 1) == pytest.approx(WIDEST)


def test_what_always_or_never_comes_through_is_known() -> None:
    assert book_rate(1.0, (1.0, 1.0)).known
    assert book_rate(0.0, (0.0, 0.0)).known
