"""The smallest count at which a chance that rises with it is as great as is asked, in a few tries."""

from __future__ import annotations

from collections.abc import Callable
from math import log

_TIE = 1e-10
"""Where a chance meets the sureness exactly, rounding must not ask for one more."""
_EDGE = 1e-12


def smallest(chance: Callable[[int], float], bad: int, good: int, sure: float) -> int:
    """The smallest count above `bad`, and no greater than `good`, of which the chance is `sure` (above 0, below 1).

    `good` is known to do and `bad` not to. The chance is guessed between the two as if its log odds rose evenly; where
    a guess leaves one side where it was, the next is taken further from it, so that both close in.
    """
    wanted = _log_odds(sure)
    low, high = _log_odds(chance(bad)) - wanted, max(0.0, _log_odds(chance(good)) - wanted)
    reach, side = 1, 0
    while good - bad > 1:
        guess = bad + (good - bad) * low / (low - high) if low < high else (good + bad) / 2
        count = min(max(round(guess) + side * reach, bad + 1), good - 1)
        found = chance(count)
        if found >= sure - _TIE:
            good, high = count, max(0.0, _log_odds(found) - wanted)
            reach, side = (reach * 2 if side < 0 else 1), -1
        else:
            bad, low = count, _log_odds(found) - wanted
            reach, side = (reach * 2 if side > 0 else 1), 1
    return good


def _log_odds(chance: float) -> float:
    inside = min(max(chance, _EDGE), 1 - _EDGE)
    return log(inside / (1 - inside))
