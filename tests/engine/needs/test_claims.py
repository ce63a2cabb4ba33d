"""What is coming, allotted to needs: no plant twice, never more than is as sure as asked; simulation agrees."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.needs.claims import Want, claims
from engine.odds.lots_to_come import Coming, Stay
from engine.odds.promise import promise
from engine.odds.rates import Rate
from tests.engine.odds.lots import LOSSES, comings, drawn, lot
from tests.sampled import examples

LOTS = st.lists(comings(30), min_size=1, max_size=5)


@st.composite
def farms(draw: st.DrawFn) -> tuple[list[Coming], list[Want]]:
    lots = draw(LOTS)
    indices = st.lists(st.integers(0, len(lots) - 1), unique=True, max_size=len(lots)).map(lambda ns: tuple(sorted(ns)))
    sures = st.sampled_from((0.5, 0.8, 0.9, 0.95))
    return lots, draw(st.lists(st.builds(Want, st.integers(0, 50), sures, indices), min_size=1, max_size=6))


@examples(150)
@given(farms())
def test_no_plant_is_counted_twice(home: tuple[list[Coming], list[Want]]):
    lots, wants = home
    given_of = [0] * len(lots)
    for want, claim in zip(wants, claims(wants, lots, LOSSES), strict=True):
        assert 0 <= claim.count <= want.count
        assert sum(part for _, part in claim.lots) == claim.count
        assert {n for n, _ in claim.lots} <= set(want.lots)
        assert 0 <= claim.chance <= 1
        for n, part in claim.lots:
            given_of[n] += part
    assert all(taken <= lot.count for taken, lot in zip(given_of, lots, strict=True))


@examples(100)
@given(farms())
def test_all_that_is_given_is_no_more_than_can_be_promised_of_all_the_lots(home: tuple[list[Coming], list[Want]]):
    """The wants share one certainty: together they then get no more than the promise of all lots at it."""
    lots, wants = home
    wants = [replace(want, sure=0.8, lots=tuple(range(len(lots)))) for want in wants]
    total = sum(claim.count for claim in claims(wants, lots, LOSSES))
    assert total == min(sum(want.count for want in wants), promise(lots, LOSSES, 0.8).free)


@examples(100)
@given(farms(), st.floats(0.3, 0.99), st.floats(0.3, 0.99))
def test_one_need_gets_less_the_surer_it_asks(home: tuple[list[Coming], list[Want]], one: float, other: float):
    lots, wants = home
    low, high = (claims([replace(wants[0], sure=sure)], lots, LOSSES)[0].count for sure in sorted((one, other)))
    assert high <= low


@pytest.mark.parametrize("wanted", [5, 10])
def test_a_need_that_can_use_two_lots_leaves_the_one_that_another_needs(wanted: int):
    """Also where that lot would do for both: what is left of it is what another need can use."""
    both, one = claims([Want(wanted, 0.9, (0, 1)), Want(wanted, 0.9, (0,))], [Coming(10), Coming(10)], {})
    assert both.lots == ((1, wanted),)
    assert one.lots == ((0, wanted),)


@pytest.mark.parametrize(
    ("there", "wanted", "given"),
    [
        # of two lots of ten, one that either would do for moves over by six
        ((10, 10), [(6, (0, 1)), (10, (0,))], [((1, 6),), ((0, 10),)]),
        # and takes the other lot where two more want the first
        ((10, 10, 10), [(10, (0, 1)), (10, (1, 2)), (6, (0,)), (4, (0,))],
         [((1, 10),), ((2, 10),), ((0, 6),), ((0, 4),)]),
        # four that hold hands: the first moves on to the second's lot, that to the third's, that to the last
        ((10, 10, 10, 10), [(10, (0, 1)), (10, (1, 2)), (10, (2, 3)), (10, (0,)), (1, (3,))],
         [((1, 10),), ((2, 10),), ((3, 10),), ((0, 10),), ()]),
        # nothing wanted, no lot that would do, more than is left, and a lot of its own
        ((10, 10), [(0, (0, 1)), (5, ()), (1, (0,)), (12, (0,)), (10, (1,))],
         [(), (), ((0, 1),), ((0, 9),), ((1, 10),)]),
        ((1,), [(1, (0,)), (1, (0,))], [((0, 1),), ()]),
    ],
)  # fmt: skip
def test_of_plants_that_stand_there_each_goes_where_all_can_have_theirs(
    there: tuple[int, ...], wanted: list[tuple[int, tuple[int, ...]]], given: list[tuple[tuple[int, int], ...]]
):
    """Nothing is lost and nothing unsure, so what each can have is counted by hand."""
    found = claims([Want(count, 0.9, lots) for count, lots in wanted], [Coming(count) for count in there], {})
    assert [claim.lots for claim in found] == given
    assert [claim.chance for claim in found] == [
        float(sum(part for _, part in lots) == count) for (count, _), lots in zip(wanted, given, strict=True)
    ]


def test_two_lots_together_are_surer_than_each_for_itself():
    """100 at beta (7, 3) twice: what is 90 % sure of both is more than twice what is of one."""
    lots = [Coming(100, (Rate(0.7, 10.0),))] * 2
    (together,) = claims([Want(200, 0.9, (0, 1))], lots, {})
    assert together.count > 2 * promise(lots[:1], {}, 0.9).free
    assert together.count == promise(lots, {}, 0.9).free


def test_each_need_is_met_as_surely_as_it_asked_in_40_000_draws():
    """Lots that come ready one after another; needs are served in their order from what is there for them."""
    lots = [
        lot(80, (Rate(0.7, 5.0),), "mist bench", 200),
        Coming(60, (Rate(0.6, 3.0), Rate(0.9, 20.0)), (Stay("cold store", 90), Stay("mist bench", 300, 90))),
        lot(120, (Rate(0.8, 8.0),), "cold store", 400),
    ]
    wants = [Want(30, 0.85, (0,)), Want(40, 0.9, (0, 1)), Want(50, 0.8, (0, 1)), Want(150, 0.8, (0, 1, 2))]
    found = claims(wants, lots, LOSSES)
    assert [claim.count > 0 for claim in found] == [True] * 4
    draws = 40_000
    there = drawn(lots, LOSSES, draws, 5)
    for want, claim in zip(wants, found, strict=True):
        left = np.full(draws, claim.count)
        for n in want.lots:
            taken = np.minimum(left, there[n])
            there[n] = there[n] - taken
            left = left - taken
        met = (left == 0).mean()
        assert met >= want.sure - 4.5 * np.sqrt(want.sure * (1 - want.sure) / draws)
