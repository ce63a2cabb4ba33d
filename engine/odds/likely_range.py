"""How many come through: a rate that varies from batch to batch, as a beta distribution gives it."""

from __future__ import annotations

from functools import lru_cache
from math import exp, lgamma


@lru_cache(maxsize=4096)
def likely_range(count: int, mean: float, weight: float, share: float = 0.9) -> tuple[int, int]:
    """The central range that holds at least `share` of the outcomes: how many of `count` come through.

    Beta-binomial with a = mean * weight and b = (1 - mean) * weight; mean 0 to 1, weight above 0, share 0 to 1.
    """
    if count <= 0 or mean <= 0:
        return 0, 0
    if mean >= 1:
        return count, count
    tail = (1 - share) / 2
    a, b = mean * weight, (1 - mean) * weight
    norm = lgamma(a) + lgamma(b) - lgamma(a + b) - lgamma(count + 1) + lgamma(count + a + b)
    low, total = None, 0.0
    for k in range(count + 1):
        total += exp(lgamma(k + a) + lgamma(count - k + b) - lgamma(k + 1) - lgamma(count - k + 1) - norm)
        if low is None and total > tail:
            low = k
        if total >= 1 - tail:
            return low or 0, k
    return low or 0, count
