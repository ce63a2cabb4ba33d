"""The days on which an act may be done, against a search through every choice of all acts' windows."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from engine.almanac.phrases import parse_phrase
from engine.almanac.windows import Window
from engine.protocols.model import Days, Protocol, Step
from engine.schedule.chain import Chain
from engine.schedule.placing import place
from engine.schedule.start_and_ready import Wish
from engine.schedule.stretches import YEAR, stretches
from tests.engine.schedule.test_placing_properties import FAR, chain_of, choices, few, starts
from tests.strategies import protocols

some = protocols(longest_window=60, longest_wait=60, most_windows=2)


def days_of(found: tuple[tuple[int, int], ...], today: int) -> set[int]:
    """The days of the year to come; what reaches beyond it is looked at on its own."""
    return {day for first, last in found for day in range(first, min(last, today + YEAR - 1) + 1)}


def searched(chain: Chain, lows: list[int], highs: list[int], today: int) -> list[set[int]]:
    """The days of each act in any solution at all that lies within lows and highs."""
    year = range(today, today + YEAR)
    every = list(choices(chain, lows, highs, min(lows), today + 365 * 5))
    return [{day for day in year if any(b[k][0] <= day <= b[k][1] for b in every)} for k in range(len(lows))]


@few
@given(some, starts, st.integers(0, 400))
def test_every_day_of_a_stretch_has_a_solution_and_no_other_day_has(
    protocol: Protocol, start: int, passed: int
) -> None:
    chain = chain_of(protocol)
    today, count = start + passed, len(chain.spans)
    found = stretches(chain, Wish(start), today)
    assert [days_of(each, today) for each in found] == searched(chain, [today] * count, [FAR] * count, today)


@few
@given(some, starts, st.integers(0, 700))
def test_what_is_to_be_ready_by_a_day_ends_in_time(protocol: Protocol, start: int, room: int) -> None:
    chain = chain_of(protocol)
    count = len(chain.spans)
    highs = [start + room - lasts.least for lasts in chain.lasts]
    every = searched(chain, [start] * count, highs, start)
    assume(all(every))
    assert [days_of(each, start) for each in stretches(chain, Wish(start, start + room), start)] == every


@few
@given(some, starts, st.integers(0, 60))
def test_after_an_act_was_done_its_waits_hold(protocol: Protocol, start: int, passed: int) -> None:
    chain = chain_of(protocol)
    first = chain.order[0]
    placed = place(chain, Wish(start))
    assume(placed.fits)
    day = placed.earliest[first]
    assert day is not None
    today = day + passed
    lows = [day if k == first else today for k in range(len(chain.spans))]
    every = searched(chain, lows, [day if k == first else FAR for k in range(len(chain.spans))], today)
    assume(all(every[k] for k in range(len(every)) if k != first))
    found = stretches(chain, Wish(start, done={first: day}), today)
    assert found[first] == ()
    assert [days_of(found[k], today) for k in chain.order[1:]] == [every[k] for k in chain.order[1:]]


@few
@given(some, starts)
def test_stretches_stand_apart_in_order_and_begin_at_the_earliest_day(protocol: Protocol, start: int) -> None:
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    assume(placed.fits)
    for k, found in enumerate(stretches(chain, Wish(start), start)):
        earliest = placed.earliest[k]
        assert earliest is not None
        assert found[0][0] == earliest
        assert all(first < earliest + YEAR and last - first < YEAR for first, last in found)
        assert all(one[1] + 1 < other[0] for one, other in pairwise(found))


def window(opens: str, closes: str) -> Window:
    return Window((parse_phrase(opens),), (parse_phrase(closes),))


@few
@given(some, starts)
def test_a_stretch_that_begins_within_the_year_is_given_to_its_end(protocol: Protocol, start: int) -> None:
    """Seen from half a year on it ends on the same day; later only where it goes on past the year looked at."""
    chain = chain_of(protocol)
    for before, after in zip(
        stretches(chain, Wish(start), start), stretches(chain, Wish(start), start + YEAR // 2), strict=True
    ):
        begun = [span for span in before if span[0] >= after[0][0] and span[1] - span[0] < YEAR - 1]
        ends = {first: last for first, last in after if last - first < YEAR - 1}
        looked_at = before[0][0] + YEAR - 1 if before else 0
        assert all(ends.get(first, last) == last for first, last in begun if last < looked_at)
        assert all(ends.get(first, last) >= last for first, last in begun)


LIFT = Step("lift", windows=(window("1 Nov", "28 Nov"), window("20 Mar", "15 Apr")))
PLANT = Step("plant", windows=(window("1 Nov", "10 Dec"), window("1 Apr", "1 May")), wait=Days(0, 7))


@pytest.mark.parametrize(
    ("today", "lift", "plant"),
    [
        ("2026-10-01", ["11-01 11-28", "03-25 04-15"], ["11-01 12-05", "04-01 04-22"]),
        ("2026-11-20", ["11-20 11-28", "03-25 04-15", "11-01 11-28"], ["11-20 12-05", "04-01 04-22", "11-01 12-05"]),
        ("2026-12-01", ["03-25 04-15", "11-01 11-28"], ["04-01 04-22", "11-01 12-05"]),
    ],
)
def test_lifting_and_planting_go_on_in_autumn_and_in_spring(today: str, lift: list[str], plant: list[str]) -> None:
    chain = chain_of(Protocol("T", "division", "", (LIFT, PLANT)))
    day = date.fromisoformat(today).toordinal()
    told = [
        [" ".join(date.fromordinal(end).isoformat()[5:] for end in one) for one in each]
        for each in stretches(chain, Wish(day), day)
    ]
    assert told == [lift, plant]
