"""One question has one number, whoever is asked: promise, needs, ways, starts, the year's plan, stock and review."""

from __future__ import annotations

from datetime import date

import pytest

from engine.farm.model import Farm
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.needs.batches_to_start import batches_for
from engine.needs.coverage import coverage, ways_for
from engine.needs.promising import offer
from engine.needs.review import review
from engine.needs.season_plan import season
from engine.needs.sizing import sizing
from engine.schedule.plan import Day, Plan
from tests.engine.needs.homes import batch, farm, need, opened
from tests.engine.schedule.farms import day, entry

TODAY, BY = "2027-01-20", "2027-12-31"
TREE = "Arbor ficta"
SURE = (0.8, 0.9, 0.95)
LEARNED = (
    entry("2026-03-10", "done", "stick", batch="OLD", count=200),
    entry("2026-11-10", "done", "lift", batch="OLD", count=90),
)
OLD = batch("OLD", 200, "2026-02-01")


def promised(home: Farm, sure: float, *entries: Entry, by: str = BY) -> int:
    nursery, plans = opened(home, TODAY, *entries)
    return offer(Day(nursery, plans, day(TODAY)), Need("", TREE, "", "", 1, day(by), sure)).promise.free


@pytest.mark.parametrize("sure", SURE)
def test_a_need_is_met_up_to_what_can_be_promised_and_no_further(sure: float):
    grown = (batch("A", 120, "2027-02-01"), batch("B", 80, "2027-01-25", "seed"), OLD)
    word = promised(farm(*grown), sure, *LEARNED)
    assert word > 90
    for count, short in ((word, 0), (word + 1, 1)):
        nursery, plans = opened(farm(*grown, need("N", count, BY, sure)), TODAY, *LEARNED)
        (line,) = coverage(Day(nursery, plans, day(TODAY))).needs
        assert (line.short, line.to_come + line.from_hand + short) == (short, count)
        assert (line.chance >= sure - 1e-9) == (not short)


@pytest.mark.parametrize("sure", [0.8, 0.9])
@pytest.mark.parametrize("entries", [(), LEARNED], ids=["the book", "own batches"])
def test_ways_starts_the_years_plan_and_what_is_then_planned_say_the_same(sure: float, entries: tuple[Entry, ...]):
    home = farm(OLD, need("N", 150, BY, sure))
    nursery, plans = opened(home, TODAY, *entries)
    (line,) = coverage(Day(nursery, plans, day(TODAY))).needs
    assert line.short > 20
    ways = {way.protocol.method: way for way in ways_for(Day(nursery, plans, day(TODAY)), line)}
    for method, way in ways.items():
        sized = sizing(Day(nursery, plans, day(TODAY)), Need("", TREE, "", "", line.short, day(BY), sure), method, "")
        assert (sized.way.takes, sized.way.chance) == (way.takes, way.chance)
        (new,) = batches_for(nursery, line, way, day(TODAY))
        assert new.count == way.takes
    (chosen,) = season(Day(nursery, plans, day(TODAY))).ways
    assert chosen.way == ways[chosen.way.protocol.method]


@pytest.mark.parametrize("sure", [0.8, 0.9])
@pytest.mark.parametrize("method", ["hardwood cutting", "seed"])
def test_of_as_many_as_a_way_starts_what_was_wanted_can_be_promised_and_of_one_fewer_not(method: str, sure: float):
    nursery, plans = opened(farm(need("N", 60, BY, sure)), TODAY)
    (line,) = coverage(Day(nursery, plans, day(TODAY))).needs
    (way,) = (way for way in ways_for(Day(nursery, plans, day(TODAY)), line) if way.protocol.method == method)
    for count, holds in ((way.takes, True), (way.takes - 1, False)):
        told = f'[[batch]]\nid = "B"\nspecies = "{TREE}"\nmethod = "{method}"\ncount = {count}\nready = {BY}\n'
        assert (promised(farm(told), sure) >= 60) == holds


def test_stock_says_of_a_lot_what_can_be_promised_of_it_on_the_day_it_is_ready():
    home = farm(batch("A", 120, "2027-02-01"))
    nursery, plans = opened(home, TODAY)
    (line,) = coverage(Day(nursery, plans, day(TODAY))).stock.lines
    assert line.coming is not None
    assert isinstance(line.coming.ready, date)
    assert line.coming.sure() == promised(home, 0.9, by=line.coming.ready.isoformat())
    told = offer(Day(nursery, plans, day(TODAY)), Need("", TREE, "", "", 1, line.coming.ready, 0.9)).promise
    assert line.coming.likely == round(told.expected)


def share(plans: tuple[Plan, ...], do: str) -> float:
    plan = next(plan for plan in plans if plan.lot.id == "NEW")
    k = plan.index(do)
    assert k is not None
    return plan.share(k)


def test_the_review_learns_the_share_that_starts_and_the_week_go_by():
    nursery, plans = opened(farm(OLD, batch("NEW", 100)), TODAY, *LEARNED)
    (kind,) = review(Day(nursery, plans, day(TODAY)), 2026)
    sized = sizing(Day(nursery, plans, day(TODAY)), Need("", TREE, "", "", 60, day(BY), 0.9), "hardwood cutting", "")
    learned = {step.do: step.learned for step in kind.steps}
    assert {do: rate.rate.mean for do, rate in sized.steps} == learned
    assert {do: share(plans, do) for do in learned} == learned
    assert {step.do: (step.into, step.through) for step in kind.steps}["stick"][0] == 200
