"""The chance that so many of a lot come through several steps: exact, though each step's rate is itself uncertain.

The rates of a lot's steps multiply to one rate P for the lot: known rates times independent betas. Given P the count is
binomial, and at least j of n come through where the j-th smallest of n uniform numbers lies below P. That number is
itself a beta (j, n - j + 1), so the odds are those that a sum of logarithms of independent betas is at least 0. The
moments of a beta are gamma functions; so the odds are one integral of them along a line across the complex plane (the
inverse Mellin transform, Springer & Thompson 1970, "The distribution of products of beta, gamma and Gaussian random
variables", SIAM J. Appl. Math. 18). The line is laid through the saddle point (Daniels 1954) and stretched by a
hyperbolic sine, where the trapezoid rule converges exponentially (Trefethen & Weideman 2014): a hundred points or so
give errors below 1e-9 (commonly 1e-12) for a lot of a hundred or ten million, and its size costs nothing; where the
odds of every count are wanted, or the lot is small, `survivors` is the quicker.
Where fewer than forty of a greater lot may be lost, the losses are counted step by step instead.
"""

from __future__ import annotations

from cmath import exp as cexp
from cmath import log as clog
from collections.abc import Sequence
from math import ceil, comb, cosh, exp, inf, log, pi, sinh, sqrt

from engine.odds.rates import Rate
from engine.odds.survivors import Product, product_of, survivors

_STEP = 0.05
"""Between the points, on the scale of the hyperbolic sine."""
_LEANS = (0.0, 0.12, -0.12, 0.28, -0.28)
"""By how much the line may lean to a side as it goes up; the one where the integrand dies away soonest is taken."""
_LONGEST = 1600
_FEW = 40
"""Where fewer than this may be lost they are counted one by one: the integrand would die away too slowly."""
_SMALL = 600
"""In a lot of no more than this the odds of every count are the sooner had."""
_NOTHING = 39.0
"""What is e ** 39 times smaller than the largest does not show in a float."""
_REACH = 12.0
"""From here up Stirling's series is good to the last figure."""


def chance(count: int, at_least: int, rates: Sequence[Rate]) -> float:
    """The chance, 0 to 1, that at least so many of `count` come through all the steps; good to 1e-9."""
    if at_least <= 0:
        return 1.0
    if at_least > count:
        return 0.0
    product = product_of(tuple(rates))
    if product.known == 0:
        return 0.0
    if count <= _SMALL:
        return min(1.0, sum(survivors(count, tuple(rates))[at_least:]))
    if count - at_least < _FEW:
        return min(1.0, sum(_top(count, at_least, product)))
    return min(1.0, max(0.0, _along_line(count, at_least, product)))


def _top(count: int, first: int, product: Product) -> list[float]:
    """The odds of first, first + 1, … `count` coming through, where few are lost: step by step, each loss counted."""
    odds = [0.0] * (count - first) + [1.0]
    if product.known < 1:
        odds = [
            sum(
                p * comb(m, m - j) * (1 - product.known) ** (m - j) * product.known**j
                for m, p in enumerate(odds[j - first :], j)
            )
            for j in range(first, count + 1)
        ]
    for a, whole in product.betas:
        after = [0.0] * len(odds)
        for m, p in enumerate(odds, first):
            if p:
                p *= exp((_log_rise(a, complex(m)) - _log_rise(whole, complex(m))).real)  # all come through
                for j in range(m, first - 1, -1):
                    after[j - first] += p
                    p *= j / (m - j + 1) * (whole - a + m - j) / (a + j - 1) if j > 0 else 0
        odds = after
    return odds


def _along_line(count: int, at_least: int, product: Product) -> float:
    """The chance of at least so many, as the integral along the line through the saddle point."""
    at, scale = _saddle(count, at_least, product)
    base = 1.0 if at < 0 else 0.0  # to the left of the pole at 0 its share is to be added

    def size(s: complex) -> complex:
        """The logarithm of the integrand, but for 1 / s."""
        total = _log_rise(at_least, -s) - _log_rise(count + 1, -s) + s * log(product.known)
        for a, whole in product.betas:
            total += _log_rise(a, s) - _log_rise(whole, s)
        return total

    size_at = size(complex(at)).real
    if size_at < -_NOTHING:  # by Chernoff's bound the tail is no more than this
        return base

    def point(k: int, lean: float) -> complex:
        u = k * _STEP
        return at + scale * complex((cosh(u) - 1) * lean, sinh(u) * sqrt(1 - lean * lean))

    def dies(lean: float, longest: int) -> int:
        """The first of some points, far apart, where the integrand is as good as nothing; `longest` where none is."""
        for k in range(8, longest, 8):
            s = point(k, lean)
            now = size(s).real
            if now + k * _STEP - log(abs(s / at)) < size_at - _NOTHING:
                return k
            if now > size_at + 3:
                break  # it grows that way
        return longest

    last, lean = _LONGEST, _LEANS[0]
    for other in _LEANS:
        if (k := dies(other, last)) < last:
            last, lean = k, other
    total = base
    for k in range(last + 1):
        u, s = k * _STEP, point(k, lean)
        turn = scale * complex(cosh(u) * sqrt(1 - lean * lean), -sinh(u) * lean)
        total += (_STEP / pi * turn * cexp(size(s)) / s * (1 if k else 0.5)).real
    return total


def _saddle(count: int, at_least: int, product: Product) -> tuple[float, float]:
    """Where the integrand is least between its poles at 0 and `at_least`, and how far it reaches up the line."""

    def slope(c: float) -> float:
        total = _digamma(count + 1 - c) - _digamma(at_least - c) + log(product.known)
        for a, whole in product.betas:
            total += _digamma(a + c) - _digamma(whole + c)
        return total

    left = -min((a for a, _ in product.betas), default=4.0 * count)
    start, end = (left, 0.0) if slope(0) > 0 else (0.0, float(at_least))
    low, high = -30.0, 30.0
    for _ in range(26):
        v = (low + high) / 2
        c = _between(start, end, v)
        if slope(c) > 1 / c:
            high = v
        else:
            low = v
    c = _between(start, end, low)
    nudge = 1e-4 * min(c - start, end - c)
    bend = max((slope(c + nudge) - slope(c - nudge)) / (2 * nudge), 1e-12)
    reach = min(1 / sqrt(bend + 1 / c**2), c - start, end - c)
    return c, 0.9 * reach


def _between(start: float, end: float, v: float) -> float:
    """A number between, as near to either as v is low or high; exact near 0."""
    return end / (1 + exp(-v)) + start / (1 + exp(v))


def _log_rise(z: float, s: complex) -> complex:
    """Log of gamma(z + s) / gamma(z), by Stirling's series, written so that large z cancels before it is rounded."""
    shifted: complex = 0
    product: complex = 1
    up = max(0, ceil(_REACH - z))
    if abs(z + up + s) < _REACH:
        up = ceil(_REACH - min(z, z + s.real))
    if up:
        for _ in range(up):
            product *= z / (z + s)
            z += 1
        shifted = clog(product)
    y = z + s
    x = s / z
    ratio = clog(1 + x) if abs(x) > 1e-3 else x * (1 - x * (1 / 2 - x * (1 / 3 - x * (1 / 4 - x * (1 / 5 - x / 6)))))
    return shifted + (y - 0.5) * ratio + s * (log(z) - 1) + _stirling(y) - _stirling(z)


def _stirling(z: complex) -> complex:
    """What Stirling's series adds (Abramowitz & Stegun 1964, 6.1.41)."""
    i = 1 / z
    q = i * i
    return i * (1 / 12 - q * (1 / 360 - q * (1 / 1260 - q * (1 / 1680 - q * (1 / 1188 - q * 691 / 360360)))))


def _digamma(x: float) -> float:
    """The slope of log gamma for x above 0 (Abramowitz & Stegun 1964, 6.3.5 and 6.3.18)."""
    if x <= 0:
        return -inf
    total = 0.0
    while x < 8:
        total -= 1 / x
        x += 1
    q = 1 / (x * x)
    return total + log(x) - 0.5 / x - q * (1 / 12 - q * (1 / 120 - q * (1 / 252 - q * (1 / 240 - q / 132))))
