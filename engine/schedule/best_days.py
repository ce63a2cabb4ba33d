"""What is best of what a step lasts: the bounds that keep to it, as far as the windows let them."""

from __future__ import annotations

from collections.abc import Sequence

from engine.almanac.almanac import say_days
from engine.protocols.model import Days
from engine.schedule.chain import Chain
from engine.schedule.network import NONE

Least = Sequence[Sequence[int]]
ENOUGH, BEST, TOO_LONG = "enough", "best", "too long"


def stage(gone: int, lasts: Days, best: Days | None) -> str:
    """How far something is after so many days: ENOUGH, BEST or TOO_LONG; nothing before its least."""
    if gone < lasts.least:
        return ""
    if lasts.most is not None and gone > lasts.most:
        return TOO_LONG
    return BEST if best is not None and best.least <= gone <= (gone if best.most is None else best.most) else ENOUGH


def short_of_best(chain: Chain, aims: Sequence[int | None], k: int) -> str:
    """What is told where the aims give to what act k starts less, or more, than is best; else nothing."""
    best, aim, steps = chain.best[k], aims[k], chain.protocol.steps
    for (i, j), wanted in chain.wants.items():
        day = aims[j]
        if i != k or best is None or aim is None or day is None:
            continue
        short = wanted.least - (day - aim)
        if short > 0:
            return f"{steps[k].do} has {say_days(best.least - short)} until {steps[j].do}: enough; best is {best}"
        if wanted.most is not None and best.most is not None and (over := day - aim - wanted.most) > 0:
            return f"{steps[k].do} has {say_days(best.most + over)} until {steps[j].do}: longer than its best, {best}"
    return ""


def best_bounds(chain: Chain, low: Sequence[int], high: Sequence[int]) -> tuple[list[int], list[int], Least]:
    """Of the first and last days of all acts those that keep to what is best, and the fewest days between acts.

    What cannot be had is come as near to as the windows let it, for one act after another.
    """
    if not chain.wants:
        return list(low), list(high), chain.network.least
    if chain.meant is not None:
        least = chain.meant.least
        count = range(len(low))
        lows = [max(low[i] + least[i][j] for i in count if least[i][j] != NONE) for j in count]
        highs = [min(high[j] - least[i][j] for j in count if least[i][j] != NONE) for i in count]
        if all(a <= b for a, b in zip(lows, highs, strict=True)):
            return lows, highs, least
    return _as_near(chain, list(low), list(high))


def _as_near(chain: Chain, low: list[int], high: list[int]) -> tuple[list[int], list[int], Least]:
    least = [list(row) for row in chain.network.least]
    for (i, j), wanted in chain.wants.items():
        longest = high[j] - low[i] if least[j][i] == NONE else min(high[j] - low[i], -least[j][i])
        _hold(least, low, high, i, j, min(wanted.least, longest))
        if wanted.most is not None:
            shortest = max(low[j] - high[i], least[i][j])
            _hold(least, low, high, j, i, -max(wanted.most, shortest))
    return low, high, least


def _hold(least: list[list[int]], low: list[int], high: list[int], a: int, b: int, days: int) -> None:
    """Let act b come so many days after act a, or more, and all else that follows from it."""
    if days <= least[a][b]:
        return
    count = range(len(low))
    into = [(p, least[p][a]) for p in count if least[p][a] != NONE]
    out = [(q, least[b][q]) for q in count if least[b][q] != NONE]
    held = [q for q in count if low[q] == high[q]]  # an act that was done stays where it is, whatever it broke
    for p, before in into:
        for q, after in out:
            least[p][q] = max(least[p][q], before + days + after)
    for q, after in out:
        low[q] = low[q] if q in held else max(low[q], low[a] + days + after)
    for p, before in into:
        high[p] = high[p] if p in held else min(high[p], high[b] - days - before)
