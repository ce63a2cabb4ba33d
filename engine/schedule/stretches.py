"""On which days of a year an act may be done, with all that follows still fitting: in all of its windows."""

from __future__ import annotations

from engine.almanac.almanac import NeverComes
from engine.reading.frozen import replace
from engine.schedule.chain import Chain
from engine.schedule.network import NONE, soonest
from engine.schedule.start_and_ready import FAR, Wish, furthest, lows_of

YEAR = 365


def stretches(chain: Chain, wish: Wish, today: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """For each act its stretches of days (ordinals), begun within a year of the first of them; none where it is done.

    Each is given to its end, a year on at the most: the frame shows no day as the last of a winter's work.

    On every day of a stretch the act may be done while all others find days of their own, and on no day outside them.
    What the batch asks and cannot have (its readiness, a longest wait that what was done broke) is left aside, as the
    plan leaves it.
    """
    if not chain.spans:  # every step was dropped
        return ()
    chain = chain.as_done(wish.done)
    wish = replace(wish, floor=max(today, wish.floor if wish.floor is not None else today))
    lows = lows_of(chain, wish)
    none: tuple[tuple[int, int], ...] = ()
    try:
        days = soonest(chain.network, lows, chain.spans, wish.done, furthest(chain, lows, wish))
        if days is None:
            return (none,) * len(lows)
        highs = _highs(chain, wish, days)
        count = range(len(lows))
        return tuple(none if k in wish.done else _of_act(chain, wish, k, days, lows, highs) for k in count)
    except NeverComes:
        return (none,) * len(lows)


def _of_act(
    chain: Chain, wish: Wish, k: int, days: list[int], lows: list[int], highs: list[int]
) -> tuple[tuple[int, int], ...]:
    """The soonest days at which act k is not before the end of the last stretch, one stretch after another."""
    found: list[tuple[int, int]] = []
    end = days[k] + YEAR - 1
    while days[k] <= end:
        first, last = days[k], _last(chain, wish, k, days, highs)
        if found and found[-1][1] + 1 == first:
            first = found.pop()[0]
        found.append((first, min(last, first + YEAR - 1)))
        later = [max(low, last + 1) if i == k else low for i, low in enumerate(lows)]
        following = soonest(chain.network, later, chain.spans, wish.done, furthest(chain, lows, wish))
        if following is None or any(day > high for day, high in zip(following, highs, strict=True)):
            break
        days = following
    return tuple(found)


def _last(chain: Chain, wish: Wish, k: int, days: list[int], highs: list[int]) -> int:
    """The last day of act k while every act stays in the span that it lies in."""
    least = chain.network.least
    ends = []
    for j, bound in enumerate(least[k]):
        if bound != NONE and j not in wish.done:
            domain = chain.spans[j]
            closes = FAR if domain is None else domain.from_day(days[j]).closes
            ends.append(min(closes, highs[j]) - bound)
    return min(ends)


def _highs(chain: Chain, wish: Wish, days: list[int]) -> list[int]:
    """The last days that what is asked and what was done leave to each act, but where they leave none."""
    least = chain.network.least
    highs = [FAR] * len(days)
    for i in range(len(days)):
        ends = [day - least[i][j] for j, day in wish.done.items() if least[i][j] != NONE]
        if wish.start is not None and not chain.before[i]:
            wait = chain.protocol.steps[i].wait
            if wait is not None and wait.most is not None:
                ends.append(wish.start + wait.most)
        highs[i] = min((end for end in ends if end >= days[i]), default=FAR)
    if wish.ready is not None:
        by = [wish.ready - lasts.least for lasts in chain.lasts]
        if all(day <= end for k, (day, end) in enumerate(zip(days, by, strict=True)) if k not in wish.done):
            highs = [min(pair) for pair in zip(highs, by, strict=True)]
    for k in wish.done:
        highs[k] = FAR
    return highs
