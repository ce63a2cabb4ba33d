"""Place the acts of one batch: soonest from a start, latest before a readiness, then aims between the exact bounds."""

from __future__ import annotations

from engine.almanac.almanac import NeverComes, say_day, say_days
from engine.almanac.windows import Span
from engine.reading.frozen import dataclass
from engine.schedule.best_days import best_bounds
from engine.schedule.chain import Chain, never_opens
from engine.schedule.network import NONE, soonest
from engine.schedule.slips_and_collisions import broken, collision, little_left, slipped, too_late
from engine.schedule.start_and_ready import FAR, UNBOUND, Wish, furthest, latest_by_ready, lows_of

__all__ = ["Placement", "Wish", "place"]


@dataclass(frozen=True, slots=True)
class Placement:
    """Where acts may lie: the spans used, the exact earliest and latest days (None: nothing bounds it), the aims.

    `fits` is False where no year fits, and then the days are None.
    """

    wish: Wish
    spans: tuple[Span | None, ...]
    earliest: tuple[int | None, ...]
    latest: tuple[int | None, ...]
    aims: tuple[int | None, ...]
    best_until: tuple[int | None, ...]
    problems: tuple[str, ...] = ()
    fits: bool = True

    def ready(self, chain: Chain) -> int | None:
        """When all acts, and the least that they last, have ended, by the aims."""
        ends = [aim + lasts.least for aim, lasts in zip(self.aims, chain.lasts, strict=True) if aim is not None]
        return max(ends) if ends and len(ends) == len(self.aims) else None


def place(chain: Chain, wish: Wish, tell: bool = True) -> Placement:
    """Place every act of a batch. Never raises on a batch that does not fit: that is told in `problems`.

    What `of_its_season` tells is among them, unless it is left for whoever asks (`tell`): it looks at other years.
    """
    count = len(chain.spans)
    if not count:  # every step was dropped
        return Placement(wish, (), (), (), (), ())
    chain = chain.as_done(wish.done)
    lows = lows_of(chain, wish)
    problems: list[str] = []
    try:
        days = None
        if wish.ready is not None:
            days = latest_by_ready(chain, wish, lows)
        from_ready = days is not None
        if days is None:
            lows = _begun_together(lows, wish)
            days = soonest(chain.network, lows, chain.spans, wish.done, furthest(chain, lows, wish))
            if wish.ready is not None and _ends_after(chain, days, wish.ready):
                problems.append(too_late(chain, wish))
        if days is None:
            problems.append(collision(chain, lows, wish))
            return _nowhere(count, wish, problems)
        spans = tuple(None if s is None or k in wish.done else s.from_day(days[k]) for k, s in enumerate(chain.spans))
    except NeverComes as reason:
        about = next((day for day in (wish.start, wish.ready, wish.floor) if day is not None), None)
        told = [] if about is None else [f"{do}: {why}" for do, why in never_opens(chain, about)]
        return _nowhere(count, wish, [*problems, *(told or [str(reason)])])
    earliest, most = _bounds(chain, wish, lows, spans, from_ready, problems)
    if tell and not from_ready:
        problems += (*slipped(chain, lows, wish, spans), *little_left(chain, wish, spans))
    best = tuple(_best(chain, k, span) for k, span in enumerate(spans))
    aims = _aims(chain, wish, earliest, most, best)
    return Placement(
        wish,
        spans,
        tuple(None if e <= -UNBOUND else e for e in earliest),
        tuple(None if m >= UNBOUND else m for m in most),
        tuple(aims),
        best,
        tuple(problems),
    )


def of_its_season(chain: Chain, placed: Placement) -> tuple[str, ...]:
    """What is told of the season for which acts came too late, and of that of which little is left for them."""
    wish, chain = placed.wish, chain.as_done(placed.wish.done)
    if not placed.fits or not placed.spans:
        return ()
    lows = lows_of(chain, wish)
    if wish.ready is not None and latest_by_ready(chain, wish, lows) is not None:
        return ()
    lows = _begun_together(lows, wish)
    return (*slipped(chain, lows, wish, placed.spans), *little_left(chain, wish, placed.spans))


def _begun_together(lows: list[int], wish: Wish) -> list[int]:
    """The first days on which acts may be done: where nothing says it, not before any other."""
    base = max((low for low in lows if low > -FAR), default=wish.ready or FAR)
    return [low if low > -FAR else base for low in lows]


def _bounds(
    chain: Chain,
    wish: Wish,
    lows: list[int],
    spans: tuple[Span | None, ...],
    from_ready: bool,
    problems: list[str],
) -> tuple[list[int], list[int]]:
    """The exact earliest and latest day of every act within the spans used."""
    count = len(spans)
    least, edges = chain.network.least, chain.network.edges
    done = wish.done
    low = [done.get(k, max(lows[k], s.opens) if (s := spans[k]) else lows[k]) for k in range(count)]
    high = [done.get(k, s.closes if (s := spans[k]) else FAR) for k in range(count)]
    if from_ready and wish.ready is not None:
        high = [done.get(k, min(high[k], wish.ready - chain.lasts[k].least)) for k in range(count)]
    earliest = list(low)
    for j in range(count):
        for i, days in edges[j]:
            if i not in done:
                earliest[i] = max(earliest[i], low[j] + days)
    for k in chain.roots if wish.start is not None else ():
        wait = chain.protocol.steps[k].wait
        if wait is None or wait.most is None or k in done:
            continue
        assert wish.start is not None
        if (late := earliest[k] - wish.start - wait.most) > 0:
            do = chain.protocol.steps[k].do
            problems.append(f"{do}: {say_days(late)} past its longest wait from the start")
        else:
            high[k] = min(high[k], wish.start + wait.most)
    most = [
        high[i] if i in done else min([high[i], *(high[j] - days for j, days in edges[i] if j not in done)])
        for i in range(count)
    ]
    for i in range(count):
        if i in done:
            continue
        for j in done:
            if least[i][j] == NONE:
                continue
            bound = done[j] - least[i][j]  # j was done; i follows within so many days, where it still can
            if bound >= earliest[i]:
                most[i] = min(most[i], bound)
            elif j in chain.before[i]:
                steps = chain.protocol.steps
                problems.append(
                    f"{steps[i].do} cannot come within {say_days(-least[i][j])} of {steps[j].do} "
                    f"({say_day(done[j])}): {say_days(earliest[i] - bound)} over"
                )
    problems += broken(chain, wish)
    return earliest, most


def _aims(
    chain: Chain, wish: Wish, earliest: list[int], most: list[int], best: tuple[int | None, ...]
) -> list[int | None]:
    """Aims from the last act to the first, each within what those already set leave."""
    low, high, least = best_bounds(chain, earliest, most)
    count = len(low)
    aims: list[int | None] = [None] * count
    for i in reversed(chain.order):
        if i in wish.done:
            aims[i] = wish.done[i]
            continue
        aim = _aim(chain.protocol.steps[i].aim, low[i], high[i], best[i])
        aims[i] = aim
        for j in range(count):
            if least[i][j] != NONE:
                low[j] = max(low[j], aim + least[i][j])
            if least[j][i] != NONE:
                high[j] = min(high[j], aim - least[j][i])
    return aims


def _aim(aim: str, low: int, high: int, best: int | None) -> int:
    if low <= -UNBOUND:
        return high
    if best is not None and best < high:
        high = max(best, low)
    if aim == "early" or high >= UNBOUND:
        return low
    return high if aim == "late" else (low + high) // 2


def _best(chain: Chain, k: int, span: Span | None) -> int | None:
    phrases = chain.protocol.steps[k].best_until
    if not phrases or span is None:
        return None
    days = (chain.almanac.first_from(p, span.opens) for p in phrases)
    first = min((d for d in days if d is not None), default=None)
    return None if first is None or first > span.closes else first  # beyond it, another season's is meant


def _ends_after(chain: Chain, days: list[int] | None, ready: int) -> bool:
    return days is None or any(day + lasts.least > ready for day, lasts in zip(days, chain.lasts, strict=True))


def _nowhere(count: int, wish: Wish, problems: list[str]) -> Placement:
    blank: tuple[None, ...] = (None,) * count
    done = tuple(wish.done.get(k) for k in range(count))
    return Placement(wish, blank, done, done, done, blank, tuple(problems), fits=False)
