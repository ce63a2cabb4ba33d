"""The arithmetic of what lasts and of waits, joins, and protocols that can be followed nowhere."""

from __future__ import annotations

import pytest

from engine.almanac.almanac import Almanac, Site
from engine.protocols.model import After, Days, Protocol, Step
from engine.schedule.chain import Chain, ChainFault, between, make_chain
from engine.schedule.placing import Wish, place

NOT_GIVEN, NUMBER, PAIR = None, Days(5, None), Days(2, 9)
NOTHING, AT_LEAST, RANGE = Days(0, 0), Days(90, None), Days(90, 120)


def chain(*steps: Step) -> Chain:
    return make_chain(Protocol("Arbor ficta", "seed", "", steps), Almanac(Site(45.0, 5.0, "Europe/Paris")))


@pytest.mark.parametrize(
    ("lasts", "wait", "least", "most"),
    [
        (NOTHING, NOT_GIVEN, 0, None),
        (NOTHING, NUMBER, 5, None),
        (NOTHING, PAIR, 2, 9),
        (AT_LEAST, NOT_GIVEN, 90, None),
        (AT_LEAST, NUMBER, 95, None),
        (AT_LEAST, PAIR, 92, None),
        (RANGE, NOT_GIVEN, 90, 120),
        (RANGE, NUMBER, 95, None),
        (RANGE, PAIR, 92, 129),
    ],
)  # fmt: skip
def test_least_bounds_add_and_a_most_stands_only_where_both_have_one(
    lasts: Days, wait: Days | None, least: int, most: int | None
) -> None:
    assert between(lasts, wait) == Days(least, most)


def test_first_step_waits_from_the_start() -> None:
    placed = place(chain(Step("soak", wait=Days(3, 10)), Step("sow", wait=Days(1, 2))), Wish(1000))
    assert placed.earliest == (1003, 1004)
    assert placed.latest == (1010, 1012)


def test_first_step_that_cannot_keep_its_longest_wait_from_the_start_is_told() -> None:
    placed = place(chain(Step("soak", wait=Days(0, 10))), Wish(1000, None, 1025))
    assert placed.earliest == (1025,)
    assert placed.problems == ("soak: 15 days past its longest wait from the start",)


def test_graft_waits_for_scion_and_stock_each_in_its_way() -> None:
    """Scions keep 60 days, stocks stand 5 to 20 days in the warm first."""
    steps = chain(
        Step("collect scions", after=()),
        Step("warm the stocks", after=(), wait=Days(70, None)),
        Step("graft", after=(After("collect scions", Days(0, 60)), After("warm the stocks", Days(5, 20)))),
    )
    placed = place(steps, Wish(1000))
    # The stocks rule: day 70 and 5 more; the scions are cut late enough to be fresh still.
    assert placed.earliest == (1015, 1070, 1075)
    assert steps.waits == {(0, 2): Days(0, 60), (1, 2): Days(5, 20)}


def test_own_wait_of_an_after_table_goes_before_that_of_the_step() -> None:
    steps = chain(
        Step("a", after=()), Step("b", after=()), Step("c", after=(After("a"), After("b", Days(4, 4))), wait=Days(1, 1))
    )
    assert steps.waits == {(0, 2): Days(1, 1), (1, 2): Days(4, 4)}


def test_step_without_after_follows_the_step_before_it() -> None:
    steps = chain(Step("a"), Step("b"), Step("c", after=()), Step("d"))
    assert steps.before == ((), (0,), (), (2,))
    assert steps.roots == (0, 2)
    assert steps.reaches(0) == {0, 1}
    assert steps.precedes(3) == {2}
    assert [steps.follows(k) for k in range(4)] == [(1,), (), (3,), ()]


def test_steps_may_stand_in_any_order_in_the_file() -> None:
    steps = chain(Step("b", after=(After("a"),), wait=Days(3, None)), Step("a", after=()))
    assert place(steps, Wish(100)).earliest == (103, 100)


def test_steps_that_wait_in_a_circle_are_a_fault_that_names_them() -> None:
    with pytest.raises(ChainFault, match='"a", "b" wait for one another in a circle'):
        chain(Step("a", after=(After("b"),)), Step("b", after=(After("a"),)))


def test_waits_that_contradict_one_another_are_a_fault_that_names_a_step() -> None:
    with pytest.raises(ChainFault, match="contradict") as caught:
        chain(
            Step("a", after=()),
            Step("b", after=(After("a", Days(0, 2)),)),
            Step("c", after=(After("b", Days(0, 2)), After("a", Days(10, None)))),
        )
    assert caught.value.step in "abc"


def test_longest_wait_broken_at_a_join_holds_up_nothing_but_the_join() -> None:
    """Scions cut on day 100 keep 20 days, the stocks need 50 in the warm: that breaks; waxing comes in 10 days."""
    steps = chain(
        Step("warm the stocks", after=(), lasts=Days(50, None)),
        Step("collect scions", after=()),
        Step("wax", after=(After("collect scions", Days(0, 10)),)),
        Step("graft", after=(After("warm the stocks"), After("collect scions", Days(0, 20)))),
    )
    placed = place(steps, Wish(0, None, 105, {0: 100, 1: 100}))
    assert placed.earliest == (100, 100, 105, 150)
    assert placed.latest[2] == 110
    assert placed.problems == ("graft cannot come within 20 days of collect scions (10 Apr): 30 days over",)


@pytest.mark.parametrize(("today", "over"), [(1010, ()), (1011, ("soak: 1 day past its longest wait from the start",))])
def test_longest_wait_from_the_start_is_over_a_day_after_it(today: int, over: tuple[str, ...]) -> None:
    assert place(chain(Step("soak", wait=Days(0, 10))), Wish(1000, None, today)).problems == over
