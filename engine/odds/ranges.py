"""How far batches run apart: from the range that nine of ten keep to, to a beta's weight."""

from __future__ import annotations

from functools import lru_cache
from math import exp, lgamma, log, log1p

NINE_OF_TEN = 0.9
MOST_WEIGHT = 1e6
WIDEST = 0.9
"""Nine batches of ten keep to a range as wide as this where nothing at all is known: as wide as ignorance."""
LEAST_BELOW = 0.5
"""Where no range is given, nine batches of ten give at least this part of the mean (common practice)."""


def usual_range(mean: float, within: float) -> tuple[float, float]:
    """The range that nine batches of ten keep to where no source gives one: within so much of the mean (0 to 1).

    Near 0 and 1 there is less room: it is never wider to either side than half of the mean, or than what is left to 1.
    """
    half = min(within, mean * LEAST_BELOW, 1 - mean)
    return mean - half, mean + half


@lru_cache(maxsize=4096)
def weight_of(mean: float, low: float, high: float) -> float:
    """The weight (a + b) of the beta of this mean of which nine draws of ten lie between low and high.

    0 <= low <= mean <= high <= 1, the mean above 0 and below 1. Never less than `least_weight`, however wide the range.
    """
    least = least_weight(mean)
    normal = mean * (1 - mean) / (max(high - low, 1e-3) / 3.29) ** 2  # as if it were a normal: a good guess

    def inside(weight: float) -> float:
        a, b = mean * weight, (1 - mean) * weight
        return beta_below(a, b, high) - beta_below(a, b, low)

    if inside(least) >= NINE_OF_TEN:
        return least
    bottom, top = log(max(least, normal / 2)), log(min(MOST_WEIGHT, normal * 2))
    while inside(exp(top)) < NINE_OF_TEN and exp(top) < MOST_WEIGHT:
        bottom, top = top, top + 1
    while exp(bottom) > least and inside(exp(bottom)) >= NINE_OF_TEN:
        bottom, top = bottom - 1, bottom
    for _ in range(24):
        middle = (bottom + top) / 2
        if inside(exp(middle)) < NINE_OF_TEN:
            bottom = middle
        else:
            top = middle
    return exp(top)


def least_weight(mean: float) -> float:
    """The weight below which a beta of this mean, above 0 and below 1, is wider than ignorance.

    A batch would then be likelier to fail, or to lose nothing, than to come out anywhere between.
    """
    return 1 / min(mean, 1 - mean)


def beta_below(a: float, b: float, x: float) -> float:
    """The chance that a beta (a, b) lies below x.

    The continued fraction of Abramowitz & Stegun 1964, 26.5.8, summed as Lentz does (from memory).
    """
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_below(b, a, 1 - x)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x)) / a
    tiny = 1e-300
    c, d = 1.0, 1 / ((1 - (a + b) * x / (a + 1)) or tiny)
    total = d
    for m in range(1, 5000):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / ((1 + term * d) or tiny)
            c = (1 + term / c) or tiny
            total *= c * d
        if abs(c * d - 1) < 1e-13:
            break
    return front * total
