"""The odds of every count that may come through several steps: exact, though each step's rate is itself uncertain.

The rates of a lot's steps multiply to one rate P: a known share c times independent betas (a, w - a). With
u[j] = E[P ** j * (1 - P) ** (n - j)] the odds of j of n are u[j] times n over j. The moments of a beta obey
E[p ** (s + 1)] * (w + s) = E[p ** s] * (a + s); so, for every polynomial f and the operator D = p d/dp,
E[p * prod(w + D) f(P)] = c * E[prod(a + D) f(P)]. With f = p ** j * (1 - p) ** (n - 1 - j) that is a linear recurrence
for the u, as long as there are rates; its last coefficients cancel where c is 1. It is run from n, where all come
through, down to 0, in which direction the odds are the growing solution and rounding dies away (Gautschi 1967,
"Computational aspects of three-term recurrence relations", SIAM Review 9). The result is held against its exact mean
and second moment; where floats are not enough for those it is worked out again in decimals.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from operator import mul
from typing import TYPE_CHECKING, TypeVar

from engine.odds.rates import Rate
from engine.reading.frozen import dataclass

if TYPE_CHECKING:
    from decimal import Decimal

N = TypeVar("N", float, "Decimal")

_LARGE = 1e150
"""Where the odds, whose scale is free until they are summed, grow beyond this they are scaled down."""
PLACES = (60, 120, 240)
"""Decimal places that are tried where floats are not enough: many small weights in a lot of thousands lose a dozen."""
_OFF = 1e-11
"""By how much the mean, as a share of the lot, may be out."""


@dataclass(frozen=True, slots=True)
class Product:
    """The rate of a lot: a known share times independent betas (a, w - a), as pairs a, w."""

    known: float
    betas: tuple[tuple[float, float], ...]


@lru_cache(maxsize=256)
def product_of(rates: tuple[Rate, ...]) -> Product:
    """The rates of a lot's steps as one."""
    known, betas = 1.0, []
    for rate in rates:
        if rate.known:
            known *= rate.mean
        elif rate.weight is not None:
            betas.append((rate.mean * rate.weight, rate.weight))
    return Product(known, tuple(betas))


@lru_cache(maxsize=1024)
def moments(rates: tuple[Rate, ...]) -> tuple[float, float]:
    """The mean of the share, and that of its square."""
    product = product_of(rates)
    mean, square = product.known, product.known**2
    for a, w in product.betas:
        mean *= a / w
        square *= a / w * (a + 1) / (w + 1)
    return mean, square


@lru_cache(maxsize=1024)
def survivors(count: int, rates: tuple[Rate, ...]) -> tuple[float, ...]:
    """The odds of 0, 1, … `count` coming through all the steps: exact to 1e-9 each, and they sum to 1."""
    product = product_of(rates)
    if count == 0 or product == Product(1.0, ()):
        return (*(0.0,) * count, 1.0)
    if product.known == 0:
        return (1.0, *(0.0,) * count)
    odds = _in_floats(count, product)
    for places in PLACES:
        if _holds(odds, count, product):
            break
        odds = _in_decimals(count, product, places)
    return odds


def _holds(odds: Sequence[float], count: int, product: Product) -> bool:
    """Whether the odds have the mean and the mean of j * (j - 1) that they must have."""
    first = second = product.known
    for a, w in product.betas:
        first *= a / w
        second *= a / w * (a + 1) / (w + 1)
    second *= product.known * (count - 1)
    means = [j * p for j, p in enumerate(odds)]
    return (
        abs(sum(means) / count - first) < _OFF
        and abs(sum(j * m for j, m in enumerate(means, -1)) / count - second) < _OFF * count
    )


def _in_floats(count: int, product: Product) -> tuple[float, ...]:
    back = _coefficients(count, product.known, product.betas, 1.0)
    last = [1.0] + [0.0] * (len(back) - 1)
    odds = [1.0]
    for row in zip(*(reversed(each) for each in back), strict=True):
        p = sum(map(mul, row, last))
        if p > _LARGE:
            odds, last, p = [x / _LARGE for x in odds], [x / _LARGE for x in last], p / _LARGE
        odds.append(p)
        last.insert(0, p)
        last.pop()
    total = sum(odds)
    return tuple(max(0.0, p / total) for p in reversed(odds))


def _in_decimals(count: int, product: Product, places: int) -> tuple[float, ...]:
    from decimal import Decimal, localcontext

    with localcontext() as context:
        context.prec = places
        betas = [(Decimal(a), Decimal(w)) for a, w in product.betas]
        back = _coefficients(count, Decimal(product.known), betas, Decimal(1))
        last = [Decimal(1)] + [Decimal(0)] * (len(back) - 1)
        odds = [Decimal(1)]
        for row in zip(*(reversed(each) for each in back), strict=True):
            odds.append(sum(map(mul, row, last), Decimal(0)))
            last = [odds[-1], *last[:-1]]
        total = sum(odds)
        return tuple(max(0.0, float(p / total)) for p in reversed(odds))


def _coefficients(n: int, known: N, betas: Sequence[tuple[N, N]], one: N) -> list[list[N]]:
    """For each j below n, what the odds of j + 1, j + 2, … are multiplied by and summed to give those of j.

    D maps p ** j * (1 - p) ** m to j times itself less m times p ** (j + 1) * (1 - p) ** (m - 1). `ends` holds what
    prod(a + D) gives at each such step, `wholes` what prod(w + D) does, `apart` the second less the first, which is
    summed as it goes, for the difference of the two would cancel.
    """
    zero = one - one
    left = [max(0, n - j) for j in range(n + len(betas) + 1)]
    ends, wholes, apart = [[one] * n], [[one] * n], [[zero] * n]

    def risen(by: N, rows: list[list[N]]) -> list[list[N]]:
        new = [[(by + j) * x for j, x in enumerate(rows[0])]]
        for t in range(1, len(rows)):
            here = zip(range(t, n + t), left[t : n + t], rows[t], rows[t - 1], strict=True)
            new.append([(by + jt) * x - m * y for jt, m, x, y in here])
        new.append([-m * y for m, y in zip(left[len(rows) : n + len(rows)], rows[-1], strict=True)])
        return new

    for a, w in betas:
        apart = risen(a, apart)
        for t, row in enumerate(wholes):
            apart[t] = [x + (w - a) * y for x, y in zip(apart[t], row, strict=True)]
        ends, wholes = risen(a, ends), risen(w, wholes)
    found, ratio = [], [one / (known * x) for x in ends[0]]
    for t in range(len(betas) + (known < 1)):
        ratio = [x * (j + 1 + t) / max(1, n - j - t) for j, x in enumerate(ratio)]  # of n over j to n over j + t
        after = ends[t + 1] if t < len(betas) else [zero] * n
        rows = zip(ratio, apart[t], after, wholes[t], strict=True)
        found.append([x * (known * (d - e) + (one - known) * w) for x, d, e, w in rows])
    return found
