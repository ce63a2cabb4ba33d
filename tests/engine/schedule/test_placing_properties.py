"""Placements of random protocols against an independent search through every choice of their windows' occurrences."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import product

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from engine.almanac.almanac import Almanac, Site
from engine.almanac.phrases import CalendarBase, Phrase, parse_phrase
from engine.almanac.windows import Window
from engine.protocols.model import Days, Protocol, Step
from engine.schedule.chain import Chain, ChainFault, make_chain
from engine.schedule.placing import Placement, Wish, place
from tests.sampled import examples
from tests.strategies import protocols

SITE = Site(45.0, 5.0, "Europe/Paris")
FAR = 10**7
START = date(2027, 2, 1).toordinal()
Bounds = list[tuple[int, int]]

few = examples(60)
starts = st.integers(0, 1500).map(lambda days: START + days)


def chain_of(protocol: Protocol) -> Chain:
    """The chain of a protocol at a plain site; waits that contradict one another are no case here."""
    try:
        return make_chain(protocol, Almanac(SITE))
    except ChainFault:
        assume(False)
        raise


def on(phrase: Phrase, year: int) -> int:
    assert isinstance(phrase.base, CalendarBase)
    return date(year, phrase.base.month, phrase.base.day).toordinal()


def occurrences(step: Step, first: int, last: int) -> Bounds:
    """The windows of a step that touch those days, from the calendar alone; any day where it has none."""
    if not step.windows:
        return [(-FAR, FAR)]
    found = []
    for window in step.windows:
        for year in range(date.fromordinal(first).year - 1, date.fromordinal(last).year + 1):
            opens = on(window.opens[0], year)
            closes = min(day for y in (year, year + 1) if (day := on(window.closes[0], y)) >= opens)
            if closes >= first and opens <= last:
                found.append((opens, closes))
    return found


def narrowed(chain: Chain, bounds: Bounds) -> Bounds | None:
    """The exact first and last days of all acts within bounds, by the direct waits; None where none fit."""
    low, high = [b[0] for b in bounds], [b[1] for b in bounds]
    moving = True
    while moving:
        moving = False
        for (i, j), wait in chain.waits.items():
            most = FAR if wait.most is None else wait.most
            new = (
                max(low[i], low[j] - most), max(low[j], low[i] + wait.least),
                min(high[i], high[j] - wait.least), min(high[j], high[i] + most),
            )  # fmt: skip
            if new != (low[i], low[j], high[i], high[j]):
                low[i], low[j], high[i], high[j] = new
                moving = True
        if any(a > b for a, b in zip(low, high, strict=True)):
            return None
    return list(zip(low, high, strict=True))


def choices(chain: Chain, lows: list[int], highs: list[int], first: int, last: int) -> Iterator[Bounds]:
    """The exact bounds under every choice of occurrences that has a solution within lows and highs."""
    every = [occurrences(step, first, last) for step in chain.protocol.steps]

    def extend(chosen: Bounds) -> Iterator[Bounds]:
        k = len(chosen)
        if k == len(every):
            if (found := narrowed(chain, chosen)) is not None:
                yield found
            return
        for opens, closes in every[k]:
            a, b = max(opens, lows[k]), min(closes, highs[k])
            waits = [(chosen[i], wait) for (i, j), wait in chain.waits.items() if j == k]
            near = all(
                b >= before[0] + wait.least and (wait.most is None or a <= before[1] + wait.most)
                for before, wait in waits
            )
            if a <= b and near:
                yield from extend([*chosen, (a, b)])

    yield from extend([])


def check_holds(chain: Chain, placed: Placement, wish: Wish) -> None:
    """The aims keep every wait and window, lie within the bounds, and the bounds keep the start."""
    aims = [aim for aim in placed.aims if aim is not None]
    assert len(aims) == len(chain.spans)
    for (i, j), wait in chain.waits.items():
        assert aims[j] - aims[i] >= wait.least
        assert wait.most is None or aims[j] - aims[i] <= wait.most
    for k, step in enumerate(chain.protocol.steps):
        assert any(a <= aims[k] <= b for a, b in occurrences(step, aims[k] - 400, aims[k] + 400))
        earliest, latest = placed.earliest[k], placed.latest[k]
        assert earliest is None or earliest <= aims[k]
        assert latest is None or aims[k] <= latest
        assert wish.start is None or aims[k] >= wish.start


@few
@given(protocols(most_windows=2), starts)
def test_earliest_days_from_a_start_cannot_be_bettered_by_a_day(protocol: Protocol, start: int) -> None:
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    count = len(chain.spans)
    last = start + 365 * (9 if placed.fits else 5)
    found = list(choices(chain, [start] * count, [FAR] * count, start, last))
    if not placed.fits:
        assert not found
        assert placed.problems
        return
    assert list(placed.earliest) == [min(bounds[k][0] for bounds in found) for k in range(count)]
    check_holds(chain, placed, Wish(start))


@few
@given(protocols(most_windows=2), st.integers(0, 1500).map(lambda days: START + 1500 + days))
def test_latest_days_before_a_readiness_cannot_be_bettered_by_a_day(protocol: Protocol, ready: int) -> None:
    chain = chain_of(protocol)
    wish = Wish(None, ready)
    placed = place(chain, wish)
    count = len(chain.spans)
    highs = [ready - lasts.least for lasts in chain.lasts]
    found = list(choices(chain, [-FAR] * count, highs, ready - 365 * (9 if placed.fits else 5), ready))
    if not placed.fits:
        assert not found
        return
    assert not placed.problems
    assert list(placed.latest) == [max(bounds[k][1] for bounds in found) for k in range(count)]
    check_holds(chain, placed, wish)
    ends = placed.ready(chain)
    assert ends is not None
    assert ends <= ready


@few
@given(protocols(most_windows=2), starts, st.integers(0, 1200))
def test_start_and_ready_together_keep_both_or_say_that_they_cannot(protocol: Protocol, start: int, room: int) -> None:
    chain = chain_of(protocol)
    wish = Wish(start, start + room)
    placed = place(chain, wish)
    count = len(chain.spans)
    highs = [start + room - lasts.least for lasts in chain.lasts]
    found = list(choices(chain, [start] * count, highs, start, start + room))
    told = any("cannot be ready" in problem for problem in placed.problems)
    assert told == (not found)
    if found:
        assert list(placed.latest) == [max(bounds[k][1] for bounds in found) for k in range(count)]
    if placed.fits:
        check_holds(chain, placed, Wish(start))


@few
@given(protocols(longest_window=7, windowed=True, longest_wait=12, most_windows=2), starts)
def test_earliest_and_latest_are_exact_within_the_windows_used(protocol: Protocol, start: int) -> None:
    """Every assignment of days within the occurrences used is tried."""
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    assume(placed.fits)
    spans = [(max(s.opens, start), s.closes) for s in placed.spans if s is not None]
    good = [
        days
        for days in product(*(range(a, b + 1) for a, b in spans))
        if all(
            days[j] - days[i] >= w.least and (w.most is None or days[j] - days[i] <= w.most)
            for (i, j), w in chain.waits.items()
        )
    ]
    assert list(placed.earliest) == [min(column) for column in zip(*good, strict=True)]
    assert list(placed.latest) == [max(column) for column in zip(*good, strict=True)]


@few
@given(protocols(), starts, st.data())
def test_an_act_done_at_its_own_earliest_moves_no_earliest_day(
    protocol: Protocol, start: int, data: st.DataObject
) -> None:
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    assume(placed.fits)
    act = data.draw(st.integers(0, len(chain.spans) - 1))
    day = placed.earliest[act]
    assert day is not None
    again = place(chain, Wish(start, done={act: day}))
    assert again.earliest == placed.earliest
    assert again.aims[act] == day


@few
@given(protocols(), starts, st.integers(0, 500), st.data())
def test_undone_acts_are_not_before_today_and_done_ones_stay(
    protocol: Protocol, start: int, passed: int, data: st.DataObject
) -> None:
    """Some first acts were done, on days that may break their waits; today is up to 500 days after the start."""
    chain = chain_of(protocol)
    today = start + passed
    number = data.draw(st.integers(0, len(chain.spans) - 1))
    done = {k: data.draw(st.integers(start, today)) for k in chain.order[:number]}
    placed = place(chain, Wish(start, None, today, done))
    if not placed.fits:
        assert placed.problems
        return
    for k, (earliest, latest, aim) in enumerate(zip(placed.earliest, placed.latest, placed.aims, strict=True)):
        assert aim is not None
        if k in done:
            assert earliest == latest == aim == done[k]
        else:
            assert aim >= today
            assert earliest is not None
            assert earliest >= today
    for (i, j), wait in chain.waits.items():
        a, b = placed.aims[i], placed.aims[j]
        assert a is not None
        assert b is not None
        if j not in done:
            assert b - a >= wait.least
            assert i in done or wait.most is None or b - a <= wait.most


@few
@given(protocols(aims=("early",)), starts)
def test_acts_that_aim_early_aim_at_their_earliest_unless_a_later_act_holds_them(
    protocol: Protocol, start: int
) -> None:
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    assume(placed.fits)
    assert placed.aims == placed.earliest


@few
@given(protocols(aims=("late",)), starts)
def test_acts_that_aim_late_aim_at_their_latest_where_there_is_one(protocol: Protocol, start: int) -> None:
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    assume(placed.fits)
    for k in reversed(chain.order):
        if all(day is not None for day in placed.latest):
            assert placed.aims[k] == placed.latest[k]


@few
@given(protocols(aims=("middle",)), starts)
def test_the_last_act_that_aims_for_the_middle_lies_between_its_bounds_rounded_down(
    protocol: Protocol, start: int
) -> None:
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    assume(placed.fits)
    k = chain.order[-1]
    earliest, latest = placed.earliest[k], placed.latest[k]
    assert earliest is not None
    if latest is not None:
        assert placed.aims[k] == earliest + (latest - earliest) // 2


def test_chains_without_windows_are_bounded_on_one_side_only() -> None:
    """From a start nothing says until when, before a readiness nothing says from when, whatever waits lie between."""
    protocol = Protocol("T", "seed", "", (Step("warm", lasts=Days(60, None)), Step("cold", lasts=Days(90, None))))
    chain = chain_of(protocol)
    soon = place(chain, Wish(START))
    assert (soon.earliest, soon.latest) == ((START, START + 60), (None, None))
    late = place(chain, Wish(None, START))
    assert (late.earliest, late.latest) == ((None, None), (START - 150, START - 90))
    assert late.aims == late.latest


@pytest.mark.parametrize("aim", ["early", "middle", "late"])
def test_best_time_holds_the_aim_before_its_end(aim: str) -> None:
    window = Window((parse_phrase("1 Mar"),), (parse_phrase("30 Apr"),))
    step = Step("sow", aim=aim, windows=(window,), best_until=(parse_phrase("21 Mar"),))
    placed = place(chain_of(Protocol("T", "seed", "", (step,))), Wish(START))
    days = {"early": date(2027, 3, 1), "middle": date(2027, 3, 11), "late": date(2027, 3, 21)}
    assert placed.aims == (days[aim].toordinal(),)
    assert placed.latest == (date(2027, 4, 30).toordinal(),)
    after = place(chain_of(Protocol("T", "seed", "", (step,))), Wish(date(2027, 4, 2).toordinal()))
    assert after.aims == (date(2027, 4, 2).toordinal(),)
