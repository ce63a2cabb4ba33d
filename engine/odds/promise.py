"""How many can be promised: what will be there by a date from several lots, whole lots lost in a place counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import accumulate

from engine.odds.bundles import bundled
from engine.odds.fates import outlook_of
from engine.odds.lots_to_come import Coming, merged, stands
from engine.odds.rates import expected_share
from engine.odds.starts import surely
from engine.odds.tails import chance
from engine.reading.frozen import dataclass

MOST_COUNTED = 4_000
"""Of more plants than this the odds of every count are not worked out; several lots are then counted in bundles."""
FEWEST_BUNDLES, BUNDLES = 600, 8_000
"""In how many bundles at the least and the most."""
_TIE = 1e-10


@dataclass(frozen=True, slots=True)
class Promise:
    """What can be said to a customer: how many are expected, promised already, and free to promise at a certainty."""

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
        raise ValueError(f"certainty is between 0 and 1, not {sure:g}")
    there = tails_of(lots, losses)
    return Promise(
        expected(lots, losses), promised, max(0, there.most(sure) - promised), there.at_least(promised), there.error
    )


@dataclass(frozen=True, slots=True)
class Tails:
    """The chance that at least so many are there, of so many in all.

    Of a single great lot each is worked out as it is asked for; else they are kept by bundles of `unit` plants, of
    which `shift` plants fewer are expected than of the lots.
    """

    count: int
    unit: float = 1.0
    by_unit: tuple[float, ...] = ()
    shift: float = 0.0
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
        if self.unit == 1:
            return min(1.0, self.by_unit[count]) if count < len(self.by_unit) else 0.0
        bundles = max(1.0, (count - 0.5 - self.shift) / self.unit + 0.5)
        down = int(bundles)
        here, there = (self.by_unit[n] if n < len(self.by_unit) else 0.0 for n in (down, down + 1))
        return min(1.0, here + (there - here) * (bundles - down))

    def most(self, sure: float) -> int:
        """The most that are there with that sureness, above 0, below 1."""
        if self.alone is not None:
            if self.stood <= sure:
                return 0
            return surely(self.count, self.alone.rates, sure / self.stood)
        low, high = 0, self.count
        while low < high:
            middle = (low + high + 1) // 2
            if self.at_least(middle) >= sure - _TIE:
                low = middle
            else:
                high = middle - 1
        return low


def tails_of(lots: Sequence[Coming], losses: Mapping[str, float], counted: int = MOST_COUNTED) -> Tails:
    """How surely how many are there: exact to 1e-9 up to so many `counted`, and for a single lot of any size.

    More than those in several lots are counted in bundles: within two thousandths, but where batches do not differ at
    all; then a promise is within a hundredth of the plants.
    """
    lots = merged(lots)
    count, unit, shift = sum(lot.count for lot in lots), 1.0, 0.0
    if count > counted:
        if len(lots) == 1:
            return Tails(count, alone=lots[0], stood=stands(lots[0].stays, losses))
        bundles = bundled(lots, losses, FEWEST_BUNDLES, BUNDLES)
        lots, unit, shift = list(bundles.lots), bundles.unit, bundles.shift
    found = outlook_of(lots, losses)
    tails = [*accumulate(reversed(found.odds))]
    return Tails(count, unit, (1.0, *reversed(tails[:-1])), shift, error=found.error)


def expected(lots: Sequence[Coming], losses: Mapping[str, float]) -> float:
    """How many are expected to be there: shared losses change the spread, not this."""
    return sum(lot.count * expected_share(lot.rates) * stands(lot.stays, losses) for lot in merged(lots))
