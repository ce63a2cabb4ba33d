"""What may become of lots that share places, batches and kinds: the odds of how many are there in all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import nlargest
from itertools import pairwise

from engine.odds.batches_in_common import Odds, Part, added, both, together
from engine.odds.lots_to_come import Coming, merged, spared
from engine.reading.frozen import dataclass

EXACT_FATES, MOST_FATES = 128, 1024
"""So many sets of lots may be left with every count told apart; of more than MOST_FATES the likeliest are kept."""
UNITS = 128
"""With more than EXACT_FATES, how many steps the counts are told apart by."""

Fates = dict[frozenset[int], float]


@dataclass(frozen=True, slots=True)
class Outlook:
    """The odds of 0, 1, 2 … being there, and the chance of fates too many to follow, which count as all lost."""

    odds: Odds
    error: float = 0.0


def outlook(lots: Sequence[Coming], losses: Mapping[str, float]) -> Odds:
    """The odds of 0, 1, 2 … being there by the date, up to all that there are now: see `outlook_of`."""
    return outlook_of(lots, losses).odds


def outlook_of(lots: Sequence[Coming], losses: Mapping[str, float]) -> Outlook:
    """The odds of every count being there by the date, up to all that there are now.

    A loss in a place takes every lot that stands there on that day; they come as a Poisson process, of which `losses`
    gives the chance in a year, 0 to below 1. Lots that stand in one place at one time live or die together; parts of a
    batch have one share; batches of a kind have in common what is not known of its mean. For the rest lots do not know
    of each other. Exact to 1e-9 where no more than EXACT_FATES sets of lots that hang together may be left and parts of
    a batch are equally far on; with more, counts are told apart by UNITS steps (within a thousandth), and what
    is left out beyond MOST_FATES is told as `error`: no chance is over by it, nor under by more.
    """
    lots = merged(lots)
    total: Odds = (1.0,)
    sure = 1.0
    for group in _groups(lots, losses):
        fates, dropped = _fates(group)
        sure *= 1 - dropped
        unit = 1 if len(fates) <= EXACT_FATES else max(1, sum(lots[n].count for n in group.lots) // UNITS)
        odds = _of_fates(group.kin, fates, _Odds(lots, group.own, unit))
        total = both(total, _finer(odds, unit, sum(lots[n].count for n in group.lots)))
    return Outlook(total, 1 - sure)


@dataclass(frozen=True, slots=True)
class _Group:
    """Lots that hang together: by risks that they share, and by kin; and what each risks alone."""

    lots: tuple[int, ...]
    kin: tuple[tuple[int, ...], ...]
    risks: tuple[tuple[frozenset[int], float], ...]
    own: Mapping[int, float]


def _groups(lots: Sequence[Coming], losses: Mapping[str, float]) -> list[_Group]:
    parts: dict[object, list[int]] = {}
    kinds: dict[object, list[int]] = {}
    for n, lot in enumerate(lots):
        parts.setdefault(lot.batch or n, []).append(n)
        kinds.setdefault(lot.kind or ("", lot.batch or n), []).append(n)
    own: dict[int, float] = {}
    shared: list[tuple[frozenset[int], float]] = []
    for risk, lost in _risks(lots, losses).items():
        n = next(iter(risk))
        if len(risk) == 1 and len(parts[lots[n].batch or n]) == 1:
            own[n] = lost
        else:
            shared.append((risk, lost))  # which parts of a batch are left matters, for they share what comes through
    sets = [frozenset(risk) for risk, _ in shared] + [frozenset(each) for each in kinds.values()]
    linked: list[frozenset[int]] = []
    for each in sets:
        joined = [group for group in linked if group & each]
        linked = [group for group in linked if not group & each] + [each.union(*joined)]
    found = []
    for group in linked:
        ends = [
            (max((stay.until for n in each for stay in lots[n].stays), default=0.0), tuple(each))
            for each in kinds.values()
            if each[0] in group
        ]  # in this order there are few branches
        risks = tuple(sorted((r for r in shared if r[0] <= group), key=lambda r: -r[1]))
        found.append(_Group(tuple(group), tuple(each for _, each in sorted(ends)), risks, own))
    return found


def _fates(group: _Group) -> tuple[Fates, float]:
    """The odds of which lots live, and the chance of those that are left out, which count as none alive."""
    fates: Fates = {frozenset(group.lots): 1.0}
    dropped = 0.0
    for risk, lost in group.risks:
        after: Fates = {}
        for fate, p in fates.items():
            after[fate] = after.get(fate, 0.0) + p * (1 - lost)
            after[fate - risk] = after.get(fate - risk, 0.0) + p * lost
        if len(after) > MOST_FATES:
            kept = dict(nlargest(MOST_FATES, after.items(), key=lambda each: (each[1], sorted(each[0]))))
            dropped += sum(after.values()) - sum(kept.values())
            after = kept
        fates = after
    if dropped:
        fates[frozenset()] = fates.get(frozenset(), 0.0) + dropped
    return fates, dropped


@dataclass(frozen=True, slots=True)
class _Odds:
    """The odds of the sum over lots of one kind that are left, by steps of so many plants."""

    lots: Sequence[Coming]
    own: Mapping[int, float]
    unit: int

    def of(self, left: Sequence[int]) -> Odds:
        batches: dict[object, tuple[Part, ...]] = {}
        for n in left:
            lot = self.lots[n]
            key = lot.batch or n
            batches[key] = (*batches.get(key, ()), (lot.count, lot.rates, self.own.get(n, 0.0)))
        return _coarser(together(tuple(batches.values())), self.unit)


def _of_fates(kin: Sequence[Sequence[int]], fates: Mapping[frozenset[int], float], odds: _Odds) -> Odds:
    """The odds of the sum over the lots, from those of which lots live: one kind after another."""
    if not kin:
        return (sum(fates.values()),)
    first = frozenset(kin[0])
    split: dict[frozenset[int], Fates] = {}
    for fate, p in fates.items():
        rest = split.setdefault(fate & first, {})
        rest[fate - first] = rest.get(fate - first, 0.0) + p
    found: Odds = ()
    for left, rest in split.items():
        here = odds.of(sorted(left)) if left else (1.0,)
        there = both(here, _of_fates(kin[1:], rest, odds))
        found = added(found, there)
    return found


def _coarser(odds: Odds, unit: int) -> Odds:
    """By steps of `unit`: what lies between two is shared by both, so that the mean stays."""
    if unit == 1:
        return odds
    found = [0.0] * (-(-(len(odds) - 1) // unit) + 1)
    for n, p in enumerate(odds):
        down, over = divmod(n, unit)
        found[down] += p * (1 - over / unit)
        if over:
            found[down + 1] += p * over / unit
    return tuple(found)


def _finer(odds: Odds, unit: int, most: int) -> Odds:
    """Every count told apart again: each step's odds spread evenly over those about it, none beyond `most`."""
    if unit == 1:
        return (*odds, *(0.0,) * (most + 1 - len(odds)))
    found = [0.0] * (most + 1)
    for k, p in enumerate(odds):
        for n in range(k * unit - unit + 1, k * unit + unit):
            share = p * (1 - abs(n - k * unit) / unit) / unit
            found[min(max(n, 0), most)] += share
    return tuple(found)


def _risks(lots: Sequence[Coming], losses: Mapping[str, float]) -> dict[frozenset[int], float]:
    """For every set of lots that stand together in some place at some time: the chance that a loss takes them."""
    free: dict[frozenset[int], float] = {}
    places = dict.fromkeys(stay.place for lot in lots for stay in lot.stays if losses.get(stay.place))
    for place in places:
        here = [(n, stay) for n, lot in enumerate(lots) for stay in lot.stays if stay.place == place]
        days = sorted({day for _, stay in here for day in (stay.since, stay.until)})
        for since, until in pairwise(days):
            standing = frozenset(n for n, stay in here if stay.since <= since and until <= stay.until)
            if standing:
                free[standing] = free.get(standing, 1.0) * spared(losses, place, until - since)
    return {standing: 1 - chance for standing, chance in free.items()}
