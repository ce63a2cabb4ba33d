"""How many can be promised: what will be there by a date from several lots, whole lots lost in a place counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise, zip_longest
from math import prod

from engine.odds.rates import Rate
from engine.odds.starts import surely
from engine.odds.survivors import survivors
from engine.odds.tails import chance, expected_share

YEAR_DAYS = 365.25
MOST_FATES = 128
"""Sets of lots that may be left, of those that share a place's losses."""
MOST_COUNTED, BUNDLES = 20_000, 8_000
"""Of more plants than this the odds of every count are not worked out; several lots are then counted in bundles."""
_TIE = 1e-10
_BITS = 62
_BYTES = 17
"""A digit of the product: at most 2 ** 124 in all, for the odds of a count sum to 1."""


@dataclass(frozen=True, slots=True)
class Stay:
    """Where a lot stands, from `since` to `until`, in days from today (0 or more)."""

    place: str
    until: float
    since: float = 0.0


@dataclass(frozen=True, slots=True)
class Coming:
    """A lot under way or in stock: how many it is now, the rates of the steps before it, and where it will stand.

    The stays reach to the date asked about and do not overlap. No stay: nothing takes it whole.
    """

    count: int
    rates: tuple[Rate, ...] = ()
    stays: tuple[Stay, ...] = ()


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
    there = tails_of(lots, losses)
    return Promise(expected(lots, losses), promised, max(0, there.most(sure) - promised), there.at_least(promised))


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

    def at_least(self, count: int) -> float:
        """The chance, 0 to 1, that so many are there."""
        if count <= 0 or count > self.count:
            return 1.0 if count <= 0 else 0.0
        if self.alone is not None:
            return chance(self.count, count, self.alone.rates) * self.stood
        unit = -(-count // self.unit)
        return self.by_unit[unit] if unit < len(self.by_unit) else 0.0

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
    lots = [lot for lot in lots if lot.count > 0]
    count, unit = sum(lot.count for lot in lots), 1
    if count > MOST_COUNTED:
        if len(lots) == 1:
            return Tails(count, alone=lots[0], stood=stands(lots[0].stays, losses))
        unit = -(-count // BUNDLES)
        ends = [total // unit for total in accumulate((lot.count for lot in lots), initial=0)]
        lots = [replace(lot, count=end - begin) for lot, (begin, end) in zip(lots, pairwise(ends), strict=True)]
    tails = [min(1.0, total) for total in accumulate(reversed(outlook(lots, losses)))]
    return Tails(count, unit, (1.0, *reversed(tails[:-1])))


def expected(lots: Sequence[Coming], losses: Mapping[str, float]) -> float:
    """How many are expected to be there: shared losses change the spread, not this."""
    return sum(lot.count * expected_share(lot.rates) * stands(lot.stays, losses) for lot in lots)


def stands(stays: Sequence[Stay], losses: Mapping[str, float]) -> float:
    """The chance, above 0 to 1, that nothing takes a lot whole in all its stays.

    `losses` gives the chance in a year, 0 to below 1, that a place loses whatever stands in it; ValueError beyond.
    """
    return prod(_spared(losses, stay.place, stay.until - stay.since) for stay in stays)


def outlook(lots: Sequence[Coming], losses: Mapping[str, float]) -> tuple[float, ...]:
    """The odds of 0, 1, 2 … being there by the date, up to all that there are now: exact to 1e-9.

    A loss in a place takes every lot that stands there on that day; they come as a Poisson process, of which `losses`
    gives the chance in a year, 0 to below 1. Lots that stand in one place at one time live or die together; places, and
    batches but for that, do not know of each other. Where lots share so many places that more than MOST_FATES of them
    may be left, the least of the risks count for each lot on its own.
    """
    total: tuple[float, ...] = (1.0,)
    for together, fates, own in _fates(lots, losses):
        odds = {n: _alone(lots[n], own[n]) for n in together}
        total = _both(total, _of_fates(together, fates, odds))
    return total


def _alone(lot: Coming, lost: float) -> tuple[float, ...]:
    """The odds of a lot that nothing takes together with others."""
    here = survivors(lot.count, lot.rates)
    return (here[0] * (1 - lost) + lost, *(p * (1 - lost) for p in here[1:])) if lost and lot.count else here


def _of_fates(
    left: Sequence[int], fates: Mapping[frozenset[int], float], odds: Mapping[int, tuple[float, ...]]
) -> tuple[float, ...]:
    """The odds of the sum over the lots, from those of which lots live: one lot after another is let live or die."""
    if not left or not any(fates):
        return (sum(fates.values()),)
    first, rest = left[0], left[1:]
    lives = {fate: p for fate, p in fates.items() if first in fate}
    dies = {fate: p for fate, p in fates.items() if first not in fate}
    found = _both(odds[first], _of_fates(rest, lives, odds)) if lives else ()
    other = _of_fates(rest, dies, odds) if dies else ()
    return tuple(map(sum, zip_longest(found, other, fillvalue=0.0)))


def _fates(
    lots: Sequence[Coming], losses: Mapping[str, float]
) -> list[tuple[list[int], dict[frozenset[int], float], list[float]]]:
    """The lots by groups that share a risk, each with the odds of which of them live, and what each risks alone."""
    own, shared = [0.0] * len(lots), []
    for risk, lost in sorted(_risks(lots, losses).items(), key=lambda each: -each[1]):
        if len(risk) > 1:
            shared.append((risk, lost))
        else:
            own[next(iter(risk))] = lost
    groups: list[tuple[frozenset[int], list[tuple[frozenset[int], float]]]] = [
        (frozenset((n,)), []) for n in range(len(lots))
    ]
    for risk, lost in shared:
        joined = [group for group in groups if group[0] & risk]
        groups = [group for group in groups if not group[0] & risk]
        whole = frozenset[int]().union(*(group for group, _ in joined))
        groups.append((whole, [*(each for _, risks in joined for each in risks), (risk, lost)]))
    found = []
    for group, risks in groups:
        fates = {group: 1.0}
        for risk, lost in sorted(risks, key=lambda each: -each[1]):
            after: dict[frozenset[int], float] = {}
            for fate, p in fates.items():
                after[fate] = after.get(fate, 0.0) + p * (1 - lost)
                after[fate - risk] = after.get(fate - risk, 0.0) + p * lost
            if len(after) <= MOST_FATES:
                fates = after
            else:
                for n in risk:
                    own[n] = 1 - (1 - own[n]) * (1 - lost)
        order = sorted(group, key=lambda n: max((s.until for s in lots[n].stays), default=0.0))  # few branches so
        found.append((order, fates, own))
    return found


def _risks(lots: Sequence[Coming], losses: Mapping[str, float]) -> dict[frozenset[int], float]:
    """For every set of lots that stand together in some place at some time: the chance that a loss takes them."""
    spared: dict[frozenset[int], float] = {}
    places = dict.fromkeys(stay.place for lot in lots for stay in lot.stays if losses.get(stay.place))
    for place in places:
        here = [(n, stay) for n, lot in enumerate(lots) for stay in lot.stays if stay.place == place and lot.count]
        days = sorted({day for _, stay in here for day in (stay.since, stay.until)})
        for since, until in pairwise(days):
            standing = frozenset(n for n, stay in here if stay.since <= since and until <= stay.until)
            if standing:
                spared[standing] = spared.get(standing, 1.0) * _spared(losses, place, until - since)
    return {standing: 1 - chance for standing, chance in spared.items()}


def _spared(losses: Mapping[str, float], place: str, days: float) -> float:
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
