"""Sowings that are as parts of one: what several in a week can be promised is what one of as many can be."""

from __future__ import annotations

import pytest

from engine.farm.stock import Need
from engine.needs.lots_in_common import sowings
from engine.needs.promising import offer
from engine.schedule.plan import Day
from tests.engine.needs.homes import batch, farm, opened
from tests.engine.schedule.farms import day, entry

TODAY, BY = "2027-01-04", "2027-12-31"
SEED = {"method": "seed"}


def promised(*parts: str) -> int:
    nursery, plans = opened(farm(*parts), TODAY)
    return offer(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "", 1, day(BY), 0.9)).promise.free


def sown(name: str, start: str, count: int = 150, more: str = "") -> str:
    """So many seeds into the cold, which come out to be sown ninety days on."""
    return batch(name, count, start, more=more, **SEED)


@pytest.mark.parametrize(
    ("starts", "shares"),
    [
        (("01-05", "01-05"), 1),
        (("01-05", "01-12"), 1),
        (("01-05", "01-13"), 2),
        (("01-05", "01-10", "01-15"), 2),  # a row of weekly sowings is not one
    ],
)
def test_what_goes_in_within_a_week_of_the_first_is_as_one(starts: tuple[str, ...], shares: int):
    home = farm(*(sown(f"B{n}", f"2027-{start}") for n, start in enumerate(starts)))
    _, plans = opened(home, TODAY)
    assert len(set(sowings(home, plans).values())) == shares


def test_another_cultivar_place_or_method_is_another_share():
    more = ('cultivar = "Red"\n', 'cultivar = "Pale"\n', "")
    home = farm(*(sown(f"B{n}", "2027-01-05", more=each) for n, each in enumerate(more)), batch("C", 150, "2027-02-01"))
    _, plans = opened(home, TODAY)
    assert len(set(sowings(home, plans).values())) == 4


def test_two_sowings_in_a_week_are_promised_as_one_of_as_many_and_a_fortnight_apart_as_more():
    one, near = promised(sown("A", "2027-01-05", 300)), promised(sown("A", "2027-01-05"), sown("B", "2027-01-11"))
    apart = promised(sown("A", "2027-01-05"), sown("B", "2027-01-19"))
    assert abs(near - one) <= 1  # one stands six days less in the frame
    assert apart > one + 4


def test_what_was_sown_on_other_days_than_was_meant_goes_by_what_was_done():
    home = farm(sown("A", "2027-01-05"), sown("B", "2027-01-05"))
    cold = [entry("2027-01-05", "done", "stratify cold", batch=name, count=150) for name in "AB"]
    days = (("A", "2027-04-05"), ("B", "2027-04-20"))
    late = [entry(when, "done", "sow", batch=name, count=150) for name, when in days]
    _, plans = opened(home, "2027-04-21", *cold, *late)
    assert len(set(sowings(home, plans).values())) == 2
