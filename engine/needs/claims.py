"""Which needs can be met from stock and from what is coming, each as surely as it asks, and no plant counted twice.

Needs are taken in their order. With those before it a need is met whole where every set of lots that matters holds
enough: its own, and its own with those of any needs before it that share a lot with them, and so on. Each must hold
what was given to the needs that have no other lots than these, and this one's besides. What is good for one set is
never bad for another, so the chance of all is no less than the product of the chances (Harris 1960, Proc. Cambridge
Phil. Soc. 56; from memory): a need gets no more than that product is sure of, to the day it is wanted. What it gets is
then claimed from single lots, those first that the fewest needs could use.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from math import prod

from engine.odds.lots_to_come import Coming
from engine.odds.promise import Tails, expected, tails_of
from engine.reading.frozen import dataclass

MOST_SETS = 48
_TIE = 1e-10


@dataclass(frozen=True, slots=True)
class Want:
    """So many wanted, how surely (above 0, below 1), in how many days, and which of the lots can meet it, by index."""

    count: int
    sure: float
    lots: tuple[int, ...]
    days: float = 0.0


@dataclass(frozen=True, slots=True)
class Claim:
    """What a want gets: how many, from which lots; and the chance, 0 to 1, that it is met whole."""

    count: int
    lots: tuple[tuple[int, int], ...]
    chance: float


def claims(wants: Sequence[Want], lots: Sequence[Coming], losses: Mapping[str, float]) -> tuple[Claim, ...]:
    """Allot what is there and coming to the wants, the first of them first. `losses` are the places', for a year."""
    asked = Counter(n for want in wants if want.count for n in want.lots)
    before: dict[frozenset[int], int] = {}
    """By the lots that a want can use: how many were given to such wants."""
    hazards = tuple(sorted(losses.items()))
    granted: list[tuple[int, list[int]]] = []
    chances: list[float] = []
    for want in wants:
        own = frozenset(n for n in want.lots if lots[n].count)
        if want.count <= 0 or not own:
            granted.append((0, []))
            chances.append(1.0 if want.count <= 0 else 0.0)
            continue
        sets = []
        for each in _sets(own, before):
            there = tuple(sorted((lots[n].until(want.days) for n in each), key=_order))
            sets.append((_tails(there, hazards), sum(count for lots_, count in before.items() if lots_ <= each)))

        def chance(count: int, sets: Sequence[tuple[Tails, int]] = tuple(sets)) -> float:
            return prod(tails.at_least(taken + count) for tails, taken in sets)

        most = max(0, min(want.count, *(tails.most(want.sure) - taken for tails, taken in sets)))
        count = most
        if len(sets) > 1 and chance(most) < want.sure - _TIE:
            count = bisect_left(range(1, most + 1), True, key=lambda c: chance(c) < want.sure - _TIE)
        if count:
            before[own] = before.get(own, 0) + count
        granted.append((count, sorted(own, key=lambda n: (asked[n], n))))
        chances.append(chance(want.count))
    parts = _parts(granted, lots, losses)
    return tuple(Claim(grant[0], part, p) for grant, part, p in zip(granted, parts, chances, strict=True))


def _sets(own: frozenset[int], before: Iterable[frozenset[int]]) -> tuple[frozenset[int], ...]:
    """The sets of lots that matter to a want: its own, with those of wants before it that hang together with it."""
    found = {own: None}
    todo = [own]
    while todo and len(found) < MOST_SETS:
        each = todo.pop()
        for other in before:
            if other & each and not other <= each and (both := each | other) not in found:
                found[both] = None
                todo.append(both)
    if todo:  # too many to go through: all that hang together matter most beside its own
        whole = own
        while more := [other for other in before if other & whole and not other <= whole]:
            whole = whole.union(*more)
        found[whole] = None
    return tuple(found)


def _parts(
    granted: Sequence[tuple[int, Sequence[int]]], lots: Sequence[Coming], losses: Mapping[str, float]
) -> list[tuple[tuple[int, int], ...]]:
    """From which lots the wants take what they were given, in the order in which each would take of its lots.

    Of each what is expected of it; where that is not enough, all of it; then what others can leave for another lot.
    """
    held = [Counter[int]() for _ in granted]
    likely = [int(expected((lot,), losses)) for lot in lots]
    free = [lot.count for lot in lots]
    for k, (count, own) in enumerate(granted):
        for most in (likely, None):
            for n in own:
                left = free[n] if most is None else max(0, free[n] - lots[n].count + most[n])
                part = min(count - held[k].total(), left)
                held[k][n] += part
                free[n] -= part
        while held[k].total() < count and _passed_on(k, granted, held, free):
            pass
    return [tuple((n, part) for n, part in parts.items() if part) for parts in held]


def _passed_on(
    k: int, granted: Sequence[tuple[int, Sequence[int]]], held: Sequence[Counter[int]], free: list[int]
) -> bool:
    """Give a want more of one of its lots, whose holder takes as much of another in its stead, and so on."""
    came: dict[int, tuple[int, int]] = dict.fromkeys(granted[k][1], (-1, k))
    todo = [*came]
    while todo:
        lot = todo.pop(0)
        if free[lot]:
            chain = [lot]
            while came[chain[-1]][0] >= 0:
                chain.append(came[chain[-1]][0])
            moves = [(came[n][1], n, came[n][0]) for n in chain]  # who takes of n, and leaves what it took that of
            part = min(
                free[lot], granted[k][0] - held[k].total(), *(held[w][left] for w, _, left in moves if left >= 0)
            )
            free[lot] -= part
            for who, n, left in moves:
                held[who][n] += part
                if left >= 0:
                    held[who][left] -= part
            return True
        for who, parts in enumerate(held):
            if who != k and parts[lot]:
                for n in granted[who][1]:
                    if n not in came:
                        came[n] = (lot, who)
                        todo.append(n)
    return False


@lru_cache(maxsize=2048)
def _tails(lots: tuple[Coming, ...], hazards: tuple[tuple[str, float], ...]) -> Tails:
    return tails_of(lots, dict(hazards))


def _order(lot: Coming) -> tuple[object, ...]:
    stays = tuple((stay.place, stay.since, stay.until) for stay in lot.stays)
    return lot.kind, lot.batch, stays, lot.count, tuple((rate.mean, rate.weight or 0.0) for rate in lot.rates)
