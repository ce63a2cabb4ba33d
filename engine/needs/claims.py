"""Which needs can be met from what is coming, each as surely as it asks, and no plant counted twice.

Needs are taken in their order. A need gets no more than is as good as sure from the lots that can meet it, less what
earlier needs were given of those lots; and no more than is as good as sure from all the lots that it and the earlier
needs hang together by, less all that was given of them. What it gets is then claimed from single lots, those first
that the fewest needs could use, so that the next needs find it taken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from engine.odds.promise import Coming, Tails, expected, tails_of


@dataclass(frozen=True, slots=True)
class Want:
    """So many wanted, how surely (above 0, below 1), and which of the lots can meet it, by their index."""

    count: int
    sure: float
    lots: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Claim:
    """What a want gets: how many, from which lots; and the chance, 0 to 1, that it is met whole."""

    count: int
    lots: tuple[tuple[int, int], ...]
    chance: float


def claims(wants: Sequence[Want], lots: Sequence[Coming], losses: Mapping[str, float]) -> tuple[Claim, ...]:
    """Allot what is coming to the wants, the first of them first. `losses` are the places' by name, for a year."""
    asked = Counter(n for want in wants if want.count for n in want.lots)
    given: Counter[int] = Counter()
    groups: list[set[int]] = []
    """Lots that hang together by the wants that were given some of them."""
    hazards = tuple(sorted(losses.items()))
    found = []
    for want in wants:
        own = tuple(n for n in want.lots if lots[n].count)
        if want.count <= 0 or not own:
            found.append(Claim(0, (), 1.0 if want.count <= 0 else 0.0))
            continue
        joined = set(own).union(*(group for group in groups if group & set(own)))
        count, chance = want.count, 1.0
        for pool in dict.fromkeys((own, tuple(sorted(joined)))):
            taken = sum(given[n] for n in pool)
            tails = _tails(tuple(sorted((lots[n] for n in pool), key=_order)), hazards)
            count = min(count, max(0, tails.most(want.sure) - taken))
            chance = min(chance, tails.at_least(taken + want.count))
        parts = _parts(count, sorted(own, key=lambda n: (asked[n], n)), lots, losses, given)
        if parts:
            groups = [group for group in groups if not group & joined] + [joined]
        for n, part in parts:
            given[n] += part
        found.append(Claim(count, parts, chance))
    return tuple(found)


def _parts(
    count: int, own: Sequence[int], lots: Sequence[Coming], losses: Mapping[str, float], given: Counter[int]
) -> tuple[tuple[int, int], ...]:
    """From which lots so many are taken: of each what is expected of it, then, where that is not enough, all of it."""
    parts: Counter[int] = Counter()
    for whole in (False, True):
        for n in own:
            holds = lots[n].count if whole else int(expected((lots[n],), losses))
            part = min(count, max(0, holds - given[n] - parts[n]))
            parts[n] += part
            count -= part
    return tuple((n, part) for n, part in parts.items() if part)


@lru_cache(maxsize=2048)
def _tails(lots: tuple[Coming, ...], hazards: tuple[tuple[str, float], ...]) -> Tails:
    return tails_of(lots, dict(hazards))


def _order(lot: Coming) -> tuple[tuple[tuple[str, float, float], ...], int, tuple[tuple[float, float], ...]]:
    stays = tuple((stay.place, stay.since, stay.until) for stay in lot.stays)
    return stays, lot.count, tuple((rate.mean, rate.weight or 0.0) for rate in lot.rates)
