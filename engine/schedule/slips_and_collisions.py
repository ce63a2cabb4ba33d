"""What a grower is told of a placement: a slip of a year, what collides and by how much, a wait that was broken."""

from __future__ import annotations

from collections.abc import Mapping

from engine.almanac.almanac import NeverComes, say_day, say_days
from engine.almanac.windows import Span
from engine.protocols.model import Days
from engine.schedule.chain import Chain
from engine.schedule.network import NONE, latest, soonest
from engine.schedule.start_and_ready import FAR, YEARS_TRIED, Wish, follows_done, furthest, latest_by_ready, lows_of

SOONEST = "; the earliest dates are shown"
"""Of the dates of a batch that cannot be ready in time; where no dates are shown it is left out."""
_JUST_LATE = 30
_NEARER_TO_LAST_SEASON = 120
_LITTLE_LEFT = 7


def broken(chain: Chain, wish: Wish) -> list[str]:
    """Done acts that already broke a wait between them: warned of, and the chain goes on."""
    told = []
    steps = chain.protocol.steps
    for (i, j), wait in chain.waits.items():
        if i in wish.done and j in wish.done:
            gap = wish.done[j] - wish.done[i]
            if wait.most is not None and gap > wait.most:
                told.append(f"{steps[j].do} came {say_days(gap - wait.most)} too late after {steps[i].do}")
            elif gap < wait.least:
                short = say_days(wait.least - gap)
                told.append(f"{steps[j].do} came {short} before {steps[i].do} had lasted its minimum")
    return told


def slipped(chain: Chain, lows: list[int], wish: Wish, spans: tuple[Span | None, ...]) -> list[str]:
    """The first act that must wait for another year's window, and the start that would have met this year's."""
    least = chain.network.least
    steps = chain.protocol.steps
    to_come = [i for i in chain.roots if i not in wish.done]
    for j in chain.order if to_come else ():  # what has started starts no sooner
        span, domain = spans[j], chain.spans[j]
        if span is None or domain is None or not chain.before[j]:
            continue
        firsts = [i for i in to_come if least[i][j] != NONE]
        missed = domain.before(span) if firsts else None
        if missed is None or not missed.final:  # the next window of the same season serves
            continue
        needed = [((own.fall if (own := chain.spans[i]) else int)(missed.closes - least[i][j]), i) for i in firsts]
        if not _late_for(chain, needed, lows):  # the windows between can only make it earlier
            continue
        met = _meeting(chain, wish, j, missed)
        late = _late_for(chain, [(met[i], i) for i in firsts], lows) if met else []
        if not late:
            continue
        day, first = min(late)
        own = chain.spans[first]
        if own is not None and (closed := own.until_day(lows[first]).closes) < lows[first]:
            do = steps[first].do
            return [
                f"a year later: {do} closed {say_day(closed)}; to make that window it had to start by {say_day(day)}"
            ]
        # Had act j no window, it would come so late, and for this wait.
        free = [None if k in chain.reaches(j) else s for k, s in enumerate(chain.spans)]
        days = soonest(chain.network, lows, free, wish.done, furthest(chain, lows, wish))
        if days is None:
            continue
        i = max(chain.before[j], key=lambda b: days[b] + chain.waits[b, j].least)
        wait = chain.waits[i, j].least
        if days[i] + wait <= missed.closes:
            continue
        came = f"{steps[i].do} from {say_day(days[i])}"
        on = f", {say_days(wait)} on is {say_day(days[i] + wait)}" if wait else " at the soonest"
        return [
            f"a year later: {came}{on}; {steps[j].do} closed {say_day(missed.closes)}; "
            f"to make that window it had to start by {say_day(day)}"
        ]
    return []


def _late_for(chain: Chain, needed: list[tuple[int, int]], lows: list[int]) -> list[tuple[int, int]]:
    """Of (day needed, first act), those that the batch came too late for, if it is one of this season's."""
    late = [(day, i) for day, i in needed if day < lows[i]]
    return late if all(_same_season(chain, i, day, lows[i]) for day, i in late) else []


def _meeting(chain: Chain, wish: Wish, j: int, span: Span) -> list[int] | None:
    """The latest days of all acts in which act j lies within that span, or None where there are none."""
    longest = max(max(row) for row in chain.network.least)
    highs = [span.closes + longest + 366] * len(chain.spans)
    highs[j] = span.closes
    limit = span.opens - longest - 366 * YEARS_TRIED
    days = latest(chain.network, highs, chain.spans, wish.done, min(limit, *wish.done.values(), FAR))
    return days if days is not None and days[j] >= span.opens and follows_done(chain, wish, days) else None


def _same_season(chain: Chain, k: int, needed: int, low: int) -> bool:
    """Whether the start that was needed belongs to the season now running: then the batch came late for it.

    Otherwise the chain simply takes its usual course, through a window of a later year.
    """
    own = chain.spans[k]
    if own is None:
        return low - needed <= _NEARER_TO_LAST_SEASON
    return low - needed <= _JUST_LATE or (own.fall(needed) >= own.until_day(low).opens and own.fall(low) == low)


def little_left(chain: Chain, wish: Wish, spans: tuple[Span | None, ...]) -> list[str]:
    """In words, the windows of which little is left when the batch starts."""
    if wish.start is None:
        return []
    told = []
    for k, span in enumerate(spans):
        if span is not None and span.opens <= wish.start <= span.closes < wish.start + _LITTLE_LEFT:
            left = span.closes - wish.start  # counted as the week counts them
            start = f"{say_days(left)} before its window closes" if left else "on the last day of its window"
            told.append(f"{chain.protocol.steps[k].do}: the batch starts {start}")
    return told


def begin_by(chain: Chain, ready: int, done: Mapping[int, int]) -> int | None:
    """The last day on which its first act is soon enough for it to be ready by a day; None where no year fits."""
    free = Wish(None, ready, None, done)
    try:
        days = None if done else latest_by_ready(chain, free, lows_of(chain, free))
    except NeverComes:  # a window of it never opens here
        return None
    return min(days) if days else None


def too_late(chain: Chain, wish: Wish) -> str:
    """In words, that it cannot be ready in time, and by when it had to start."""
    assert wish.ready is not None
    day = begin_by(chain, wish.ready, wish.done)
    by = "" if day is None else f"; it had to start by {say_day(day, True)}"
    return f"cannot be ready by {say_day(wish.ready, True)}{by}{SOONEST}"


def collision(chain: Chain, lows: list[int], wish: Wish) -> str:
    """Name the two acts whose windows and waits collide in the years tried, and by how much in the first of them."""
    steps = chain.protocol.steps
    base = max(lows)
    best: tuple[int, str] | None = None
    for i, j in _bound_pairs(chain):
        ours, theirs = chain.spans[i], chain.spans[j]
        if theirs is None or j in wish.done or (ours is None and i not in wish.done):
            continue
        wait = Days(chain.network.least[i][j], chain.network.most(i, j))
        misses: list[tuple[int, str]] = []
        if i in wish.done:
            days = [(wish.done[i], wish.done[i])]
        else:
            assert ours is not None
            days = [(max(span.opens, lows[i]), span.closes) for span in ours.between(base, base + 366 * 4)]
        for first, last in days:
            target = theirs.from_day(first + wait.least)
            if wait.most is None or target.opens <= last + wait.most:
                misses = []
                break
            passed = theirs.before(target)
            early = target.opens - last - wait.most
            late = first + wait.least - passed.closes if passed else FAR
            if late <= early and passed is not None:
                misses.append(
                    (
                        late,
                        f"{steps[i].do} from {say_day(first)}: {say_days(wait.least)} on is "
                        f"{say_day(first + wait.least)}, {say_days(late)} after {steps[j].do} closes "
                        f"({say_day(passed.closes)})",
                    )
                )
            else:
                misses.append(
                    (
                        early,
                        f"{steps[i].do} until {say_day(last)}: {say_days(wait.most)} on at most is "
                        f"{say_day(last + wait.most)}, {say_days(early)} before {steps[j].do} opens "
                        f"({say_day(target.opens)})",
                    )
                )
        if misses and (best is None or misses[0] < best):
            best = misses[0]
    if best is not None:
        return f"no year fits: {best[1]}"
    held = " and ".join(f'"{s.do}"' for s, spans in zip(steps, chain.spans, strict=True) if spans is not None)
    return f"no year fits the windows of {held} together with the waits between them"


def _bound_pairs(chain: Chain) -> list[tuple[int, int]]:
    """Pairs of acts, the first before the second, that waits bind directly or through others."""
    least = chain.network.least
    return [(i, j) for at, i in enumerate(chain.order) for j in chain.order[at + 1 :] if least[i][j] != NONE]
