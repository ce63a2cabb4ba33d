"""How many to start, so that as many as are wanted come through every step as surely as is asked."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import cache
from itertools import accumulate
from math import ceil

from engine.odds.rates import Rate, expected_share
from engine.odds.search import smallest
from engine.odds.survivors import survivors
from engine.odds.tails import chance
from engine.reading.frozen import dataclass
from engine.reading.limits import MOST_IN_BATCH

COUNTED, GUESSED = 4000, 400
"""In a lot of no more than this the odds of every count are sooner known than the chances of some; what a small lot
gives is a good guess at what a greater one does."""
SURENESSES = (0.8, 0.9, 0.95)
_TIE = 1e-10
"""Where the odds meet the sureness exactly, rounding must not ask for one more."""


class TooUnsure(Exception):
    """No start of up to MOST_IN_BATCH plants gives what is asked."""


@dataclass(frozen=True, slots=True)
class Start:
    """A start: how many, how many are expected to come through, how sure it is that enough do (0 to 1)."""

    count: int
    want: int
    expected: float
    sure: float

    @property
    def surplus(self) -> float:
        """How many more than wanted come through on the whole."""
        return self.expected - self.want


def start(want: int, rates: Sequence[Rate], sure: float) -> Start:
    """The smallest start that gives at least `want` with chance `sure` (above 0, below 1), one rate for each step.

    The odds rise with the start, so it is found by doubling and halving; each try costs the same however large it is.
    Raises ValueError for what cannot be asked, TooUnsure where more than MOST_IN_BATCH would have to be started.
    """
    if want < 0:
        raise ValueError(f"how many are wanted is 0 or more, not {want}")
    if not 0 < sure < 1:
        raise ValueError(f"certainty is between 0 and 1, not {sure:g}")
    share = expected_share(rates)

    @cache
    def through(count: int) -> float:
        return chance(count, want, rates)

    def enough(count: int) -> bool:
        return through(count) >= sure - _TIE

    if want > MOST_IN_BATCH or not enough(MOST_IN_BATCH):
        raise TooUnsure(f"not even {MOST_IN_BATCH:,} give {want:,} with that chance")
    good = min(MOST_IN_BATCH, max(want, ceil(want / share))) if share else MOST_IN_BATCH
    bad, reach = want - 1, max(1, good // 16)
    if enough(good):
        while good - reach > bad:
            if not enough(good - reach):
                bad = good - reach
                break
            good, reach = good - reach, reach * 2
    else:
        bad = good
        while True:
            good = min(MOST_IN_BATCH, bad + reach)
            if enough(good):
                break
            bad, reach = good, reach * 2
    good = smallest(through, bad, good, sure)
    return Start(good, want, good * share, through(good))


def surely(count: int, rates: Sequence[Rate], sure: float) -> int:
    """The most of `count` that come through all the steps with chance `sure` (above 0, below 1)."""
    if not 0 < sure < 1:
        raise ValueError(f"certainty is between 0 and 1, not {sure:g}")
    if count <= COUNTED:
        tails = tuple(accumulate(reversed(survivors(count, tuple(rates)))))  # of all, all but one, …
        return count - bisect_left(tails, sure - _TIE)
    low, high, reach = 0, count + 1, max(1, count // 256)
    middle = count * surely(GUESSED, rates, sure) // GUESSED  # nearly as many of each hundred
    while high - low > 1:
        if chance(count, middle, rates) >= sure - _TIE:
            low, middle = middle, min(middle + reach, (middle + high) // 2) if high > count else (middle + high) // 2
        else:
            high, middle = middle, max(middle - reach, (low + middle) // 2) if low == 0 else (low + middle) // 2
        reach *= 4
    return low


def costs(
    want: int, rates: Sequence[Rate], surenesses: Sequence[float] = SURENESSES
) -> tuple[tuple[float, Start], ...]:
    """The start that each sureness needs: what more or less sureness costs. Those that nothing gives are left out."""
    found = []
    for sure in sorted(set(surenesses)):
        try:
            found.append((sure, start(want, rates, sure)))
        except TooUnsure:
            break  # nor is any surer
    return tuple(found)
