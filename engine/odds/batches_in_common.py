"""Batches that do not come out each for itself: parts of one batch, and batches of one method whose mean is not known.

The share P of a lot, a product of betas, is what one batch comes to. What batches of a kind have in common is put as
what n plants, set beside them, would tell of it: K of n come through. Given K the batches' shares are independent, each
with P weighted by p ** K * (1 - p) ** (n - K); taken over all K each has its own P again, exactly. (For a single beta
that is Polya's urn: given K the share is a beta of weight w + n about (a + K) / (w + n), the mean.) With s the odds of
N + n plants of one batch, those of j of N given K are s[j + K] times C(N, j) C(n, K) / C(N + n, j + K), over those of
K: one run of `survivors` gives them all. Lots of one kind that are not equally far on have each their own n; which of
BINS equally likely runs of luck it is, from poor to good, is what they have in common.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import accumulate
from operator import add

from engine.odds.rates import Rate
from engine.odds.survivors import moments, product_of, survivors

Odds = tuple[float, ...]
Rates = tuple[Rate, ...]
Part = tuple[int, Rates, float]
"""A part of a batch: how many, the steps to come, the chance that it is lost whole by itself."""

BINS = 6
MOST_TOLD = 400
MOST_NODES = 48
"""Where parts of one batch are not equally far on, so many counts of those behind are worked out; others between."""
_NOTHING = 1e-13


@lru_cache(maxsize=1024)
def told_by(rates: Rates) -> int:
    """How many plants beside it would tell as much as what all batches of a kind have in common; 0: nothing."""
    spread = [(1 - r.mean) / (r.mean * (r.weight + 1)) for r in rates if not r.known and r.weight is not None]
    common = [r.common for r in rates if not r.known and r.weight is not None]
    if not spread or not any(common) or product_of(rates).known == 0:
        return 0
    part = sum(s * c for s, c in zip(spread, common, strict=True)) / sum(spread)
    mean, square = moments(rates)
    weight = mean * (1 - mean) / max(square - mean * mean, 1e-12) - 1
    told = max(1, round(weight * part / (1 - part)))
    while told < MOST_TOLD and _common_part(told, rates) < part:
        told += max(1, told // 8)
    return told


def _common_part(told: int, rates: Rates) -> float:
    """The part of the share's variance that batches have in common where so many plants tell of it."""
    odds, more = survivors(told, rates), survivors(told + 1, rates)
    means = [more[k + 1] * (k + 1) / (told + 1) / p if p > _NOTHING else 0.0 for k, p in enumerate(odds)]
    mean, square = moments(rates)
    of_bins = (sum(p * means[k] for k, p in luck) for luck in _luck(odds))
    return sum((each - mean) ** 2 for each in of_bins) / BINS / (square - mean * mean)


def _luck(odds: Odds) -> list[list[tuple[int, float]]]:
    """For each of BINS equally likely runs of luck, poorest first: the odds of each count in it."""
    ends = [*accumulate(odds, initial=0.0)]
    whole = ends[-1]
    found = []
    for n in range(BINS):
        low, high = n * whole / BINS, (n + 1) * whole / BINS
        cut = [(k, min(ends[k + 1], high) - max(ends[k], low)) for k in range(len(odds))]
        kept = [(k, width) for k, width in cut if width > _NOTHING]
        total = sum(width for _, width in kept)
        found.append([(k, width / total) for k, width in kept])
    return found


@lru_cache(maxsize=512)
def by_luck(count: int, rates: Rates) -> tuple[Odds, ...]:
    """The odds of 0, 1, … `count` coming through, for each of BINS runs of luck; their average is `survivors`."""
    told = told_by(rates)
    if not told or not count:
        return (survivors(count, rates),) * BINS
    odds = survivors(count + told, rates)
    found = []
    given: dict[int, list[float]] = {}
    for luck in _luck(survivors(told, rates)):
        total = [0.0] * (count + 1)
        for k, weight in luck:
            if k not in given:
                given[k] = _given(count, told, k, odds)
            total = [t + weight * p for t, p in zip(total, given[k], strict=True)]
        found.append(tuple(total))
    return tuple(found)


def _given(count: int, told: int, k: int, odds: Odds) -> list[float]:
    """The odds of each of `count`, where k of the plants that tell came through."""
    ways, found = 1.0, []
    for j in range(count + 1):
        found.append(ways * odds[j + k])
        ways *= (count - j) / (j + 1) * (j + k + 1) / max(1, count + told - j - k)
    total = sum(found)
    return [p / total for p in found]


@lru_cache(maxsize=512)
def together(batches: tuple[tuple[Part, ...], ...]) -> Odds:
    """The odds of the sum over batches of one kind, each given by its parts."""
    if len(batches) == 1 and len({rates for _, rates, _ in batches[0]}) == 1:
        (_, rates, lost), *others = batches[0]
        return _lost_whole(survivors(sum(count for count, _, _ in batches[0]), rates), 0.0 if others else lost)
    if len(batches) == 1:
        return _sum_of_bins(_batch(batches[0]))
    total = [_batch(parts) for parts in batches]
    found: list[float] = []
    for n in range(BINS):
        odds: Odds = (1.0,)
        for each in total:
            odds = both(odds, each[n if len(each) > 1 else 0])
        found = [f + p / BINS for f, p in zip(found or [0.0] * len(odds), odds, strict=True)]
    return tuple(found)


def _sum_of_bins(bins: tuple[Odds, ...]) -> Odds:
    return bins[0] if len(bins) == 1 else tuple(sum(each) / len(bins) for each in zip(*bins, strict=True))


def _batch(parts: tuple[Part, ...]) -> tuple[Odds, ...]:
    """The odds of the sum over a batch's parts, by luck. Parts share a share as far as they have steps in common."""
    lost = parts[0][2] if len(parts) == 1 else 0.0
    counts: dict[Rates, int] = {}
    for count, rates, _ in parts:
        counts[rates] = counts.get(rates, 0) + count
    if len(counts) == 1:
        ((rates, count),) = counts.items()
        bins = by_luck(count, rates)
    else:
        bins = _staged(counts)
    return tuple(_lost_whole(odds, lost) for odds in bins)


def _lost_whole(odds: Odds, lost: float) -> Odds:
    return added((lost,), both((1 - lost,), odds)) if lost else odds


def _staged(counts: dict[Rates, int]) -> tuple[Odds, ...]:
    """Parts that are not equally far on: those behind come up to the others, then all go on as one."""
    common = 0
    while len({rates[-common - 1 :] for rates in counts if len(rates) > common}) == 1 and all(
        len(rates) > common for rates in counts
    ):
        common += 1
    before: Odds = (1.0,)
    behind: dict[Rate, dict[Rates, int]] = {}
    for rates, count in counts.items():
        rest = rates[: len(rates) - common]
        if rest:
            behind.setdefault(rest[-1], {})[rest] = count
        else:
            before = both(before, (*(0.0,) * count, 1.0))
    for group in behind.values():
        for odds in [_sum_of_bins(_staged(group))] if len(group) > 1 else [survivors(n, r) for r, n in group.items()]:
            before = both(before, odds)
    rates = next(iter(counts))
    return _mixed(before, rates[len(rates) - common :])


def _mixed(before: Odds, rates: Rates) -> tuple[Odds, ...]:
    """The odds after some steps, by luck, where it is not known how many go into them."""
    if not rates:
        return (before,)
    likely = [n for n, p in enumerate(before) if p > _NOTHING]
    low, high = likely[0], likely[-1]
    step = max(1, -(-(high - low) // MOST_NODES))
    nodes: dict[int, float] = {}
    for n in likely:
        down = low + (n - low) // step * step
        up = min(high, down + step)
        part = (n - down) / max(1, up - down)  # shared between the counts on either side, so that the mean stays
        for node, p in ((down, before[n] * (1 - part)), (up, before[n] * part)):
            if p:
                nodes[node] = nodes.get(node, 0.0) + p
    found = [[0.0] * len(before) for _ in range(BINS)]
    for node, p in nodes.items():
        for n, odds in enumerate(by_luck(node, rates)):
            for j, q in enumerate(odds):
                found[n][j] += p * q
    return tuple(tuple(each) for each in found)


_BITS = 62
_BYTES = 17
"""A digit of the product: at most 2 ** 124 in all, for the odds of a count sum to 1."""


def both(one: Odds, two: Odds) -> Odds:
    """The odds of the sum of two counts (convolution): as one product of two long whole numbers, each of whose digits
    is a probability in units of 2 ** -62 (Kronecker's substitution). Python multiplies those fast and exactly."""
    if len(one) == 1 or len(two) == 1:
        factor, odds = (one[0], two) if len(one) == 1 else (two[0], one)
        return odds if factor == 1 else tuple([p * factor for p in odds])
    for odds, other in ((one, two), (two, one)):
        if odds[-1] and not any(odds[:-1]):  # so many for certain
            return (*(0.0,) * (len(odds) - 1), *both(odds[-1:], other))
    unit = 1 << _BITS
    a, b = (
        int.from_bytes(b"".join(int(p * unit).to_bytes(_BYTES, "little") for p in odds), "little")
        for odds in (one, two)
    )
    size = len(one) + len(two) - 1
    digits = (a * b).to_bytes(size * _BYTES + _BYTES, "little")
    scale = 2.0 ** (-2 * _BITS)
    return tuple(int.from_bytes(digits[k * _BYTES : (k + 1) * _BYTES], "little") * scale for k in range(size))


def added(one: Odds, two: Odds) -> Odds:
    """The odds where either comes about, each with its chance in it."""
    short, long = (one, two) if len(one) < len(two) else (two, one)
    return (*map(add, short, long), *long[len(short) :])
