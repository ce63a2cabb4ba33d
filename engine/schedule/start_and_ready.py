"""What a batch asks: nothing before its start, done by its readiness; and the days that leave to each act."""

from __future__ import annotations

from collections.abc import Mapping

from engine.reading.frozen import dataclass, field
from engine.schedule.chain import Chain
from engine.schedule.network import NONE, latest

FAR = 10**8
"""Stands for no bound at all among ordinals."""
UNBOUND = FAR // 2
"""What lies beyond it is FAR, moved by some waits."""
YEARS_TRIED = 7


@dataclass(frozen=True, slots=True)
class Wish:
    """What a batch asks, in ordinals: nothing before `start`, done by `ready`, undone acts not before `floor`."""

    start: int | None = None
    ready: int | None = None
    floor: int | None = None
    done: Mapping[int, int] = field(default_factory=dict)
    not_before: Mapping[int, int] = field(default_factory=dict)
    """Acts that the grower has put off, each to a day."""


def lows_of(chain: Chain, wish: Wish) -> list[int]:
    """The first ordinal on which each act may be done, windows aside."""
    low = max(wish.start if wish.start is not None else -FAR, wish.floor if wish.floor is not None else -FAR)
    lows = [low] * len(chain.spans)
    if wish.start is not None:
        for k in chain.roots:
            wait = chain.protocol.steps[k].wait
            if wait is not None:
                lows[k] = max(low, wish.start + wait.least)
    for k, day in wish.not_before.items():
        lows[k] = max(lows[k], day)
    for k, day in wish.done.items():
        lows[k] = day
    return lows


def furthest(chain: Chain, lows: list[int], wish: Wish) -> int:
    """The ordinal beyond which no act is tried."""
    longest = max(max(row) for row in chain.network.least)
    return max([*lows, *wish.done.values()]) + longest + 366 * YEARS_TRIED


def latest_by_ready(chain: Chain, wish: Wish, lows: list[int]) -> list[int] | None:
    """The last ordinal on which each act may be done for the batch to be ready in time; None where none may."""
    assert wish.ready is not None
    highs = [wish.ready - lasts.least for lasts in chain.lasts]
    if wish.start is not None:
        for k in chain.roots:
            wait = chain.protocol.steps[k].wait
            if wait is not None and wait.most is not None:
                highs[k] = min(highs[k], wish.start + wait.most)
    undone_lows = [low for k, low in enumerate(lows) if k not in wish.done and low > -FAR]
    longest = max(max(row) for row in chain.network.least)
    limit = min(undone_lows, default=wish.ready - longest - 366 * YEARS_TRIED)
    days = latest(chain.network, highs, chain.spans, wish.done, min(limit, *wish.done.values(), FAR))
    if days is None or any(days[k] < low for k, low in enumerate(lows) if k not in wish.done):
        return None
    return days if follows_done(chain, wish, days) else None


def follows_done(chain: Chain, wish: Wish, days: list[int]) -> bool:
    """Whether every undone act comes the least wait or more after each act that was done."""
    least = chain.network.least
    return all(
        least[k][j] == NONE or days[j] >= day + least[k][j]
        for k, day in wish.done.items()
        for j in range(len(days))
        if j not in wish.done
    )
