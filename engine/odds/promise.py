"""How many can be promised: what will be there by a date from several lots, whole lots lost in a place counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from engine.odds.rates import Rate
from engine.odds.tails import expected_share, survivors

YEAR_DAYS = 365.25
_BITS = 62
_BYTES = 17
"""A digit of the product: at most 2 ** 124 in all, for the odds of a count sum to 1."""


@dataclass(frozen=True, slots=True)
class Coming:
    """A lot under way or in stock: how many it is now, the rates of the steps before it, where it stands and how long.

    `days` counts from today to the date asked about, or until it leaves the place. No place: nothing takes it whole.
    """

    count: int
    rates: tuple[Rate, ...] = ()
    place: str = ""
    days: float = 0.0


@dataclass(frozen=True, slots=True)
class Promise:
    """What can be said to a customer: how many are expected, promised already, and free to promise at a sureness."""

    expected: float
    promised: int
    free: int
    kept: float
    """The chance, 0 to 1, that what is promised already can be kept."""


def promise(lots: Sequence[Coming], losses: Mapping[str, float], sure: float, promised: int = 0) -> Promise:
    """The most that can still be promised so that all promises are kept with chance `sure` (above 0, below 1)."""
    if not 0 < sure < 1:
        raise ValueError(f"a sureness lies between 0 and 1, not at {sure:g}")
    odds = outlook(lots, losses)
    most, tail, kept = 0, 0.0, 0.0
    for count in range(len(odds) - 1, -1, -1):
        tail += odds[count]
        if not most and tail >= sure - 1e-10:
            most = count
        if count == promised:
            kept = min(1.0, tail)
    return Promise(expected(lots, losses), promised, max(0, most - promised), kept)


def expected(lots: Sequence[Coming], losses: Mapping[str, float]) -> float:
    """How many are expected to be there: shared losses change the spread, not this."""
    return sum(lot.count * expected_share(lot.rates) * _stands(losses, lot.place, lot.days) for lot in lots)


def outlook(lots: Sequence[Coming], losses: Mapping[str, float]) -> tuple[float, ...]:
    """The odds of 0, 1, 2 … being there by the date, up to all that there are now: exact to 1e-9.

    `losses` gives the chance in a year, 0 to below 1, that a place loses whatever stands in it. The first such loss
    takes every lot that still stands there, so a place's odds are those of its lots, over when the loss comes. Lots of
    one place that leave at one time live or die together; places, and batches but for that, do not know of each other.
    """
    total: tuple[float, ...] = (1.0,)
    for place in dict.fromkeys(lot.place for lot in lots):
        here = sorted((lot for lot in lots if lot.place == place), key=lambda lot: lot.days)
        total = _both(total, _place(here, losses))
    return total


def _place(here: Sequence[Coming], losses: Mapping[str, float]) -> tuple[float, ...]:
    """The odds of one place, its lots in the order in which they leave it."""
    size = sum(lot.count for lot in here) + 1
    odds = [0.0] * size
    gone: tuple[float, ...] = (1.0,)
    """What comes of the lots that left before the loss."""
    stood = 1.0
    for lot in here:
        stands = _stands(losses, lot.place, lot.days)
        for count, chance in enumerate(gone):
            odds[count] += (stood - stands) * chance
        gone = _both(gone, survivors(lot.count, lot.rates))
        stood = stands
    for count, chance in enumerate(gone):
        odds[count] += stood * chance
    return tuple(odds)


def _stands(losses: Mapping[str, float], place: str, days: float) -> float:
    """The chance that a place loses nothing whole for so many days."""
    loss = losses.get(place, 0.0)
    if not 0 <= loss < 1:
        raise ValueError(f"{place} loses a lot in a year with chance {loss:g}; from 0 to below 1 can be")
    return float((1 - loss) ** (max(0.0, days) / YEAR_DAYS))


def _both(one: tuple[float, ...], two: tuple[float, ...]) -> tuple[float, ...]:
    """The odds of the sum of two counts (convolution): as one product of two long whole numbers, each of whose digits
    is a probability in units of 2 ** -62 (Kronecker's substitution). Python multiplies those fast and exactly."""
    if len(one) == 1 or len(two) == 1:
        factor = one[0] if len(one) == 1 else two[0]
        return tuple(p * factor for p in (two if len(one) == 1 else one))
    unit = 1 << _BITS
    a, b = (
        int.from_bytes(b"".join(int(p * unit).to_bytes(_BYTES, "little") for p in odds), "little")
        for odds in (one, two)
    )
    size = len(one) + len(two) - 1
    digits = (a * b).to_bytes(size * _BYTES + _BYTES, "little")
    scale = 2.0 ** (-2 * _BITS)
    return tuple(int.from_bytes(digits[k * _BYTES : (k + 1) * _BYTES], "little") * scale for k in range(size))
