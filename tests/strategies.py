"""Random inputs that several tests share: small chains of acts with waits, and windows of days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from hypothesis import strategies as st

from engine.almanac.phrases import MONTHS, parse_phrase
from engine.almanac.windows import Window
from engine.protocols.model import After, Days, Protocol, Step
from engine.schedule.network import Network, close

BEYOND = 10**6
"""Where a window that never opens again is said to open, past every limit."""


@dataclass(frozen=True, slots=True)
class Intervals:
    """The days of an act as closed intervals in order, apart from one another: the simplest of domains."""

    spans: tuple[tuple[int, int], ...]

    def rise(self, day: int) -> int:
        return next((max(day, opens) for opens, closes in self.spans if closes >= day), BEYOND)

    def fall(self, day: int) -> int:
        return next((min(day, closes) for opens, closes in reversed(self.spans) if opens <= day), -BEYOND)

    def holds(self, day: int) -> bool:
        return any(opens <= day <= closes for opens, closes in self.spans)


@dataclass(frozen=True, slots=True)
class Puzzle:
    """A small chain: direct waits by pair of acts (least, most or None), and days for each act (None: any)."""

    waits: dict[tuple[int, int], Days]
    domains: tuple[Intervals | None, ...]

    @property
    def network(self) -> Network:
        bounds = {pair: wait.least for pair, wait in self.waits.items()}
        bounds |= {(j, i): -wait.most for (i, j), wait in self.waits.items() if wait.most is not None}
        return close(len(self.domains), bounds)


def days(longest: int, slack: int) -> st.SearchStrategy[Days]:
    """At least so many days, and often at most so many."""

    def with_most(least: int) -> st.SearchStrategy[Days]:
        most = st.none() | st.integers(least, least + slack)
        return most.map(lambda m: Days(least, m))

    return st.integers(0, longest).flatmap(with_most)


@st.composite
def best_of(draw: st.DrawFn, lasts: Days) -> Days:
    """Some days within what a thing lasts."""
    most = lasts.least + 20 if lasts.most is None else lasts.most
    least = draw(st.integers(lasts.least, most))
    return Days(least, draw(st.integers(least, most)))


@st.composite
def intervals(draw: st.DrawFn, horizon: int) -> Intervals:
    """Some disjoint intervals within the days from 0 up to the horizon."""
    edges = sorted(draw(st.sets(st.integers(0, horizon - 1), min_size=1, max_size=5)))
    spans = [(edges[k], edges[k + 1] - 1) for k in range(0, len(edges) - 1, 2)]
    if len(edges) % 2:
        spans.append((edges[-1], edges[-1] + draw(st.integers(0, 2))))
    return Intervals(tuple(spans))


@st.composite
def puzzles(draw: st.DrawFn, horizon: int = 8) -> Puzzle:
    """Two to four acts; each after the first comes after one or two earlier ones. The waits alone can be met."""
    count = draw(st.integers(2, 4))
    waits: dict[tuple[int, int], Days] = {}
    for j in range(1, count):
        for i in draw(st.sets(st.integers(0, j - 1), min_size=1, max_size=2)):
            waits[i, j] = draw(days(3, 2))
    puzzle = Puzzle(waits, tuple(draw(st.none() | intervals(horizon)) for _ in range(count)))
    try:
        _ = puzzle.network
    except ValueError:  # two ways to one act that contradict each other: keep the least bounds only
        puzzle = Puzzle({pair: Days(wait.least, None) for pair, wait in waits.items()}, puzzle.domains)
    return puzzle


def say(day: date) -> str:
    """A day as a phrase of the calendar."""
    return f"{day.day} {MONTHS[day.month - 1]}"


@st.composite
def yearly_windows(draw: st.DrawFn, longest: int) -> Window:
    """A window of the calendar, which may straddle the New Year."""
    opens = date(2025, 1, 1) + timedelta(draw(st.integers(0, 364)))  # no 29 February within reach
    closes = opens + timedelta(draw(st.integers(0, longest - 1)))
    return Window((parse_phrase(say(opens)),), (parse_phrase(say(closes)),))


@st.composite
def protocols(
    draw: st.DrawFn,
    longest_window: int = 90,
    windowed: bool = False,
    longest_wait: int = 150,
    aims: Sequence[str] = ("early", "middle", "late"),
    most_windows: int = 1,
    best: bool = False,
) -> Protocol:
    """Two to four acts with windows of the calendar (all of them, or some), lasting things, waits and joins."""
    count = draw(st.integers(2, 4))
    steps = []
    for k in range(count):
        number = draw(st.integers(1 if windowed else 0, most_windows))
        windows = tuple(draw(yearly_windows(longest_window)) for _ in range(number))
        pool = st.sets(st.integers(0, k - 1), min_size=1, max_size=2) if k else st.just(set())
        pair = days(longest_wait, 60)
        lasts = draw(pair if best else st.just(Days(0, 0)) | pair)
        steps.append(
            Step(
                f"act {k}",
                windows=windows,
                after=tuple(After(f"act {i}") for i in sorted(draw(pool))),
                wait=draw(st.none() | pair) if k else None,
                lasts=lasts,
                best=draw(best_of(lasts)) if best else None,
                aim=draw(st.sampled_from(aims)),
            )
        )
    return Protocol("Testus randomus", "seed", "", tuple(steps))
