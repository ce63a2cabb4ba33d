"""Great lots counted in bundles: fewer plants to reckon with, of which as large a share comes through, as far spread.

A bundle stands for `unit` plants. Were its plants to live or die together, chance alone would scatter a lot more than
it does; so what batches differ by is narrowed until mean and spread of the lot are what they are plant by plant. What
is lost is the shape of the scatter alone, of which little is left among many.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from engine.odds.lots_to_come import Coming, stands
from engine.odds.rates import Rate
from engine.odds.survivors import moments
from engine.reading.frozen import dataclass, replace

_HALVINGS = 40


@dataclass(frozen=True, slots=True)
class Bundles:
    """The lots by bundles of `unit` plants, and by how many plants fewer, or more, are then expected of them all."""

    lots: tuple[Coming, ...]
    unit: float
    shift: float


def bundled(lots: Sequence[Coming], losses: Mapping[str, float], few: int, most: int) -> Bundles:
    """The lots in no fewer than `few` bundles; in more, up to `most`, where batches differ so little that it shows."""
    whole = sum(lot.count for lot in lots)
    wanted = max(few, *(ceil(_enough(lot) * whole / lot.count) for lot in lots if lot.count))
    unit = whole / min(wanted, most, whole)
    counts = [round(lot.count / unit) for lot in lots]
    alike: dict[object, list[int]] = {}
    for n, lot in enumerate(lots):
        alike.setdefault((lot.batch or n, lot.rates), []).append(n)
    found = list(lots)
    for parts in alike.values():
        rates = lots[parts[0]].rates
        narrowed = _narrowed(rates, sum(lots[n].count for n in parts), sum(counts[n] for n in parts))
        for n in parts:
            found[n] = replace(lots[n], count=counts[n], rates=narrowed)
    shift = sum(
        (lot.count - unit * count) * moments(lot.rates)[0] * stands(lot.stays, losses)
        for lot, count in zip(lots, counts, strict=True)
    )
    return Bundles(tuple(found), unit, shift)


def _spread(rates: tuple[Rate, ...]) -> tuple[float, float]:
    """The mean of a lot's share, and its variance between batches."""
    mean, square = moments(rates)
    return mean, max(0.0, square - mean * mean)


def _enough(lot: Coming) -> int:
    """In how many bundles chance scatters a lot by no more than half of what it is scattered by in all."""
    mean, between = _spread(lot.rates)
    whole = between + (mean * (1 - mean) - between) / lot.count
    return lot.count if whole <= 0 else min(lot.count, ceil(2 * mean * (1 - mean) / whole))


def _narrowed(rates: tuple[Rate, ...], plants: int, bundles: int) -> tuple[Rate, ...]:
    """The rates of which so many bundles are spread as far as so many plants are by these."""
    mean, between = _spread(rates)
    if bundles < 2 or bundles >= plants or between <= 0:
        return rates
    whole = between + (mean * (1 - mean) - between) / plants
    left = (whole - mean * (1 - mean) / bundles) / (1 - 1 / bundles)
    if left <= 0:
        return tuple(Rate(rate.mean) for rate in rates)
    low, high = 1.0, 2.0
    while _spread(_times(rates, high, 1.0))[1] > left:
        low, high = high, high * 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _spread(_times(rates, middle, 1.0))[1] > left:
            low = middle
        else:
            high = middle
    return _times(rates, high, between / left)


def _times(rates: tuple[Rate, ...], weight: float, common: float) -> tuple[Rate, ...]:
    """The rates with so many times their weight, of which so many times as great a part is common."""
    return tuple(
        rate if rate.known or rate.weight is None
        else Rate(rate.mean, rate.weight * weight, min(0.95, rate.common * common))
        for rate in rates
    )  # fmt: skip
