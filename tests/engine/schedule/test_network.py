"""The network of waits: a published example, contradictions, and random small chains solved by trying every day."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.schedule.network import NONE, Contradiction, close, latest, soonest
from tests.sampled import examples
from tests.strategies import Intervals, Puzzle, puzzles

HORIZON = 8
LAST = 11  # the last day tried, here and by the brute force


def interval_bounds(intervals: dict[tuple[int, int], tuple[int, int]]) -> dict[tuple[int, int], int]:
    """Intervals between acts as the bounds that `close` takes."""
    bounds = {}
    for (i, j), (least, most) in intervals.items():
        bounds[i, j], bounds[j, i] = least, -most
    return bounds


def solutions(puzzle: Puzzle, first: int, last: int, pinned: dict[int, int] | None = None) -> Iterator[tuple[int, ...]]:
    """Every assignment of days from first to last that keeps all windows and waits, found by trying each day."""

    def extend(days: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        j = len(days)
        if j == len(puzzle.domains):
            yield days
            return
        domain = puzzle.domains[j]
        at = (pinned or {}).get(j)
        for day in range(first, last + 1) if at is None else (at,):
            if at is None and domain is not None and not domain.holds(day):
                continue
            gaps = [(day - days[i], wait) for (i, k), wait in puzzle.waits.items() if k == j]
            if all(gap >= w.least and (w.most is None or gap <= w.most) for gap, w in gaps):
                yield from extend((*days, day))

    yield from extend(())


def test_commuting_example_gives_the_published_minimal_network() -> None:
    """Dechter, Meiri and Pearl (1991), "Temporal constraint networks", the example of John and Fred: from memory.

    x0 is 7 o'clock, x1 and x2 John leaving home and arriving, x3 and x4 Fred leaving and arriving, in minutes.
    """
    given_intervals = {(0, 1): (10, 20), (1, 2): (30, 40), (2, 3): (-20, -10), (3, 4): (40, 50), (0, 4): (60, 70)}
    network = close(5, interval_bounds(given_intervals))
    minimal = {
        (0, 1): (10, 20), (0, 2): (40, 50), (0, 3): (20, 30), (0, 4): (60, 70), (1, 2): (30, 40), (1, 3): (10, 20),
        (1, 4): (50, 60), (2, 3): (-20, -10), (2, 4): (20, 30), (3, 4): (40, 50),
    }  # fmt: skip
    assert {(i, j): (network.least[i][j], network.most(i, j)) for i, j in minimal} == minimal


def test_commuting_example_gives_the_earliest_and_latest_times() -> None:
    """The same example: pinned to 7 o'clock, the soonest and latest are the ends of the published intervals."""
    given_intervals = {(0, 1): (10, 20), (1, 2): (30, 40), (2, 3): (-20, -10), (3, 4): (40, 50), (0, 4): (60, 70)}
    network = close(5, interval_bounds(given_intervals))
    anywhere = [None] * 5
    assert soonest(network, [0] * 5, anywhere, {0: 0}, 500) == [0, 10, 40, 20, 60]
    assert latest(network, [500] * 5, anywhere, {0: 0}, -1) == [0, 20, 50, 30, 70]


def test_commuting_example_contradicts_itself_if_john_arrives_too_early() -> None:
    """The same example, John at work before 7:30 while he leaves from 7:10 on and takes 30 minutes or more."""
    bounds = interval_bounds({(0, 1): (10, 20), (1, 2): (30, 40), (0, 2): (0, 29)})
    with pytest.raises(Contradiction) as caught:
        close(3, bounds)
    assert set(caught.value.acts) <= {0, 1, 2}


def test_two_ways_to_one_act_that_no_days_can_meet_are_a_contradiction() -> None:
    """An act 10 days or more after another by one way, and 4 days at most by two others together."""
    with pytest.raises(Contradiction):
        close(3, {(0, 1): 0, (1, 0): -2, (1, 2): 0, (2, 1): -2, (0, 2): 10})


def test_an_act_without_bounds_to_another_has_no_most() -> None:
    network = close(3, {(0, 1): 5})
    assert network.least[0][1] == 5
    assert network.most(0, 1) is None
    assert network.least[1][0] == network.least[0][2] == network.least[2][0] == NONE


def test_seed_goes_into_the_cold_late_enough_to_come_out_when_it_can_be_sown() -> None:
    """Cold 90 to 120 days from day 0, sowing open on days 200 to 230: the cold starts on day 80, not on day 0."""
    network = close(2, {(0, 1): 90, (1, 0): -120})
    sowing = Intervals(((200, 230), (565, 595)))
    assert soonest(network, [0, 0], [None, sowing], {}, 2000) == [80, 200]
    assert latest(network, [600, 600], [None, sowing], {}, 0) == [505, 595]


@examples(60)
@given(puzzles(HORIZON))
def test_soonest_and_latest_are_those_found_by_trying_every_day(puzzle: Puzzle) -> None:
    network, count = puzzle.network, len(puzzle.domains)
    fits = list(solutions(puzzle, 0, LAST))
    early = soonest(network, [0] * count, puzzle.domains, {}, LAST)
    late = latest(network, [LAST] * count, puzzle.domains, {}, 0)
    if not fits:
        assert (early, late) == (None, None)
        return
    assert early == [min(days) for days in zip(*fits, strict=True)]
    assert late == [max(days) for days in zip(*fits, strict=True)]
    assert tuple(early) in fits
    assert tuple(late) in fits


@examples(60)
@given(puzzles(HORIZON), st.data())
def test_soonest_keeps_lows_and_latest_keeps_highs_of_every_act(puzzle: Puzzle, data: st.DataObject) -> None:
    network, count = puzzle.network, len(puzzle.domains)
    lows = data.draw(st.lists(st.integers(0, HORIZON), min_size=count, max_size=count))
    highs = data.draw(st.lists(st.integers(0, LAST), min_size=count, max_size=count))
    every = list(solutions(puzzle, 0, LAST))
    above = [s for s in every if all(day >= low for day, low in zip(s, lows, strict=True))]
    below = [s for s in every if all(day <= high for day, high in zip(s, highs, strict=True))]
    assert soonest(network, lows, puzzle.domains, {}, LAST) == ([min(d) for d in zip(*above, strict=True)] or None)
    assert latest(network, highs, puzzle.domains, {}, 0) == ([max(d) for d in zip(*below, strict=True)] or None)


@examples(60)
@given(puzzles(HORIZON), st.data())
def test_an_act_pinned_where_it_can_lie_leaves_the_others_their_soonest(puzzle: Puzzle, data: st.DataObject) -> None:
    network, count = puzzle.network, len(puzzle.domains)
    fits = list(solutions(puzzle, 0, LAST))
    if not fits:
        return
    act = data.draw(st.integers(0, count - 1))
    day = data.draw(st.sampled_from(sorted({s[act] for s in fits})))
    pinned = list(solutions(puzzle, 0, LAST, {act: day}))
    assert soonest(network, [0] * count, puzzle.domains, {act: day}, LAST) == [
        min(d) for d in zip(*pinned, strict=True)
    ]
    assert latest(network, [LAST] * count, puzzle.domains, {act: day}, 0) == [max(d) for d in zip(*pinned, strict=True)]


@examples(60)
@given(puzzles(HORIZON), st.data())
def test_pinning_an_act_at_its_own_soonest_changes_nothing(puzzle: Puzzle, data: st.DataObject) -> None:
    network, count = puzzle.network, len(puzzle.domains)
    early = soonest(network, [0] * count, puzzle.domains, {}, LAST)
    if early is not None:
        act = data.draw(st.integers(0, count - 1))
        again = soonest(network, [0] * count, puzzle.domains, {act: early[act]}, LAST)
        assert again == early


@examples(60)
@given(puzzles(HORIZON))
def test_closed_bounds_hold_of_every_solution_and_are_reached(puzzle: Puzzle) -> None:
    """Without windows the closure is the minimal network: each bound holds everywhere, and some solution meets it."""
    free = Puzzle(puzzle.waits, (None,) * len(puzzle.domains))
    network = free.network
    every = list(solutions(free, 0, 3 * 5))  # three waits of at most five days
    for i in range(len(free.domains)):
        for j in range(len(free.domains)):
            if i == j or network.least[i][j] == NONE:
                continue
            assert min(s[j] - s[i] for s in every) == network.least[i][j]


@examples(60)
@given(st.lists(st.integers(0, 30), min_size=1, max_size=6))
def test_leasts_add_along_a_chain(leasts: list[int]) -> None:
    network = close(len(leasts) + 1, {(k, k + 1): least for k, least in enumerate(leasts)})
    days = soonest(network, [0] * (len(leasts) + 1), [None] * (len(leasts) + 1), {}, 1000)
    assert days is not None
    assert [b - a for a, b in pairwise(days)] == leasts
