"""Spreading a need: over two sowings, two routes, two places. It moves no plant's odds, only how they hang together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor

from engine.odds.lots_to_come import Coming
from engine.odds.promise import expected, tails_of
from engine.odds.rates import expected_share
from engine.odds.search import smallest
from engine.reading.frozen import dataclass, replace

COUNTED = 1_200
"""Up to so many plants the odds of every count are worked out: many numbers are tried before the fewest are found."""
_TIE = 1e-10


@dataclass(frozen=True, slots=True)
class Odds:
    """One way of meeting a need: its lots, how many are expected, the chance (0 to 1) of falling short."""

    lots: tuple[Coming, ...]
    expected: float
    short: float


@dataclass(frozen=True, slots=True)
class Spread:
    """All in one against split in two."""

    one: Odds
    two: Odds


def falling_short(want: int, lots: Sequence[Coming], losses: Mapping[str, float]) -> float:
    """The chance, 0 to 1, that fewer than `want` are there, whole lots lost in shared places counted."""
    return min(1.0, max(0.0, 1 - tails_of(lots, losses, COUNTED).at_least(want)))


def weigh(want: int, lots: Sequence[Coming], losses: Mapping[str, float]) -> Odds:
    """What a way of meeting a need gives."""
    return Odds(tuple(lots), expected(lots, losses), falling_short(want, lots, losses))


def split(lot: Coming, shares: Sequence[float]) -> tuple[Coming, ...]:
    """A lot in parts, each a batch of its own, that add up to it; shares above 0, largest remainders rounded up.

    The parts are as many in all and each plant's odds are as before, so the expected total never changes.
    """
    if not shares or min(shares) <= 0:
        raise ValueError("each part needs a share above 0")
    exact = [lot.count * share / sum(shares) for share in shares]
    counts = [floor(part) for part in exact]
    by_rest = sorted(range(len(exact)), key=lambda k: (counts[k] - exact[k], k))
    for k in by_rest[: lot.count - sum(counts)]:
        counts[k] += 1
    return tuple(replace(lot, count=count) for count in counts)


def in_two(want: int, lot: Coming, other: Coming, losses: Mapping[str, float], share: float = 0.5) -> Spread:
    """All of a need by one way, against `share` of it (0 to 1) by another.

    `other` says the other way's steps, place and days; its own count is not used. It takes over so many of the first
    way's plants that as many are expected from it as from them, to the nearest plant: with like rates and like losses
    the expected total is the same, else within half a plant of it. Two lots in one place spread nothing of its loss.
    """
    if not 0 < share < 1:
        raise ValueError(f"a part's share is between 0 and 1, not {share:g}")
    kept, moved = split(lot, (1 - share, share))
    per_plant = expected((replace(other, count=1),), losses)
    if expected_share(other.rates) <= 0:
        raise ValueError("nothing comes through the other way")
    second = replace(other, count=round(expected((moved,), losses) / per_plant))
    return Spread(weigh(want, (lot,), losses), weigh(want, (kept, second), losses))


def fewest(want: int, pair: tuple[Coming, Coming], losses: Mapping[str, float], sure: float) -> Odds | None:
    """The fewest in two lots, in the proportion of these, that give enough with that sureness (above 0, below 1).

    None where not even so many as these do. The two count as apart: batches differ from one another as batches do.
    """
    whole = sum(lot.count for lot in pair)

    def lots(total: int) -> tuple[Coming, Coming]:
        first = round(pair[0].count * total / whole)
        return replace(pair[0], count=first), replace(pair[1], count=total - first)

    def chance(total: int) -> float:
        return 1 - falling_short(want, lots(total), losses) if total >= want else 0.0

    if whole < want or chance(whole) < sure - _TIE:
        return None
    return weigh(want, lots(smallest(chance, want - 1, whole, sure)), losses)
