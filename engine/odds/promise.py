"""How many can be promised: what will be there by a date from several lots, whole lots lost in a place counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import accumulate, pairwise

from engine.odds.fates import outlook_of
from engine.odds.lots import Coming, merged, stands
from engine.odds.starts import surely
from engine.odds.tails import chance, expected_share
from engine.reading.frozen import dataclass, replace

MOST_COUNTED, BUNDLES = 20_000, 8_000
"""Of more plants than this the odds of every count are not worked out; several lots are then counted in bundles."""
_TIE = 1e-10


@dataclass(frozen=True, slots=True)
class Promise:
    """What can be said to a customer: how many are expected, promised already, and free to promise at a sureness."""

    expected: float
    promised: int
    free: int
    kept: float
    """The chance, 0 to 1, that what is promised already can be kept."""
    error: float = 0.0
    """By how much a chance may be told too low, 0 to 1, where too many lots share too many places to follow all."""


def promise(lots: Sequence[Coming], losses: Mapping[str, float], sure: float, promised: int = 0) -> Promise:
    """The most that can still be promised so that all promises are kept with chance `sure` (above 0, below 1)."""
    if not 0 < sure < 1:
        raise ValueError(f"a sureness lies between 0 and 1, not at {sure:g}")
    there = tails_of(lots, losses)
    return Promise(
        expected(lots, losses), promised, max(0, there.most(sure) - promised), there.at_least(promised), there.error
    )


@dataclass(frozen=True, slots=True)
class Tails:
    """The chance that at least so many are there, of so many in all.

    Of a single great lot each is worked out as it is asked for; else they are kept by bundles of `unit` plants.
    """

    count: int
    unit: int = 1
    by_unit: tuple[float, ...] = ()
    alone: Coming | None = None
    stood: float = 1.0
    """The chance that nothing takes the single lot whole."""
    error: float = 0.0

    def at_least(self, count: int) -> float:
        """The chance, 0 to 1, that so many are there."""
        if count <= 0 or count > self.count:
            return 1.0 if count <= 0 else 0.0
        if self.alone is not None:
            return chance(self.count, count, self.alone.rates) * self.stood
        unit = -(-count // self.unit)
        return min(1.0, self.by_unit[unit]) if unit < len(self.by_unit) else 0.0

    def most(self, sure: float) -> int:
        """The most that are there with that sureness, above 0, below 1."""
        if self.alone is not None:
            if self.stood <= sure:
                return 0
            return surely(self.count, self.alone.rates, sure / self.stood)
        low, high = 0, len(self.by_unit) - 1
        while low < high:
            middle = (low + high + 1) // 2
            if self.by_unit[middle] >= sure - _TIE:
                low = middle
            else:
                high = middle - 1
        return low * self.unit


def tails_of(lots: Sequence[Coming], losses: Mapping[str, float]) -> Tails:
    """How surely how many are there: exact to 1e-9 up to MOST_COUNTED plants, and for a single lot of any size.

    More than those in several lots are counted in bundles, as if the plants of a bundle lived or died together. That
    errs to the safe side for what is more sure than not, by about a hundredth where every rate is known, else by less.
    """
    lots = merged(lots)
    count, unit = sum(lot.count for lot in lots), 1
    if count > MOST_COUNTED:
        if len(lots) == 1:
            return Tails(count, alone=lots[0], stood=stands(lots[0].stays, losses))
        unit = -(-count // BUNDLES)
        ends = [total // unit for total in accumulate((lot.count for lot in lots), initial=0)]
        lots = [replace(lot, count=end - begin) for lot, (begin, end) in zip(lots, pairwise(ends), strict=True)]
    found = outlook_of(lots, losses)
    tails = [*accumulate(reversed(found.odds))]
    return Tails(count, unit, (1.0, *reversed(tails[:-1])), error=found.error)


def expected(lots: Sequence[Coming], losses: Mapping[str, float]) -> float:
    """How many are expected to be there: shared losses change the spread, not this."""
    return sum(lot.count * expected_share(lot.rates) * stands(lot.stays, losses) for lot in merged(lots))
