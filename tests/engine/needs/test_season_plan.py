"""All needs in one plan: equal to every combination tried, and within the limits that the farm gives."""

from __future__ import annotations

import random
from collections.abc import Hashable, Mapping, Sequence
from itertools import product

import pytest

from engine.needs.choose_within_limits import Option, choose, over
from engine.needs.coverage import coverage, ways_for
from engine.needs.season_plan import Season, season
from engine.needs.ways import Split, losses_of
from engine.odds.spread import falling_short
from engine.schedule.plan import Day
from tests.engine.needs.homes import CUTTINGS, batch, farm, need, opened
from tests.engine.schedule.farms import day
from tests.sampled import share

TODAY = "2027-01-15"


def best(options: Sequence[Option], limits: Mapping[Hashable, float]) -> tuple[int, float]:
    """How many wants can be served, and at what least weight, by trying every combination."""
    wants = sorted({option.want for option in options})
    ways = [[None, *(o for o in options if o.want == want)] for want in wants]
    found = []
    for picked in product(*ways):
        taken = [option for option in picked if option is not None]
        fits = all(sum(o.takes.get(name, 0.0) for o in taken) <= most + 1e-6 for name, most in limits.items())
        if fits:
            found.append((-len(taken), sum(o.weight for o in taken)))
    served, weight = min(found)
    return -served, weight


@pytest.mark.parametrize("block", range(4))
def test_the_programme_is_as_good_as_every_combination_tried(block: int):
    for seed in range(50 * block, 50 * block + share(50)):
        as_good(random.Random(seed))


def as_good(chance: random.Random):
    limits: dict[Hashable, float] = {name: chance.randint(0, 12) for name in "abc"}
    options = [
        Option(want, chance.randint(0, 20), {name: chance.randint(0, 7) for name in chance.sample("abcd", 2)})
        for want in range(chance.randint(1, 5))
        for _ in range(chance.randint(1, 3))
    ]
    chosen = [options[n] for n in choose(options, limits)]
    assert len({option.want for option in chosen}) == len(chosen)
    assert not any(over(option, [o for o in chosen if o is not option], limits) for option in chosen)
    assert (len(chosen), pytest.approx(sum(o.weight for o in chosen))) == best(options, limits)


def planned(*parts: str, least: str = "hours", on: str = TODAY) -> Season:
    nursery, plans = opened(farm(*parts), on)
    return season(Day(nursery, plans, day(on)), least)


def test_each_need_gets_the_way_of_the_fewest_hours_where_nothing_is_short():
    found = planned(need("N", 20, by="2028-12-31"), need("M", 10, by="2028-12-31"))
    assert [each.line.need.id for each in found.ways] == ["N", "M"]
    assert found.unmet == ()
    nursery, plans = opened(farm(need("N", 20, by="2028-12-31")), TODAY)
    alone = season(Day(nursery, plans, day(TODAY)))
    assert found.ways[0].way == alone.ways[0].way
    assert found.hours == pytest.approx(sum(each.way.hours or 0 for each in found.ways))


def test_what_no_way_can_meet_says_why():
    found = planned(need("N", 20, by="2027-02-01"))
    assert found.ways == ()
    assert "cannot be ready by 1 Feb 27" in found.unmet[0].why


def test_of_several_ways_the_reason_is_that_of_the_one_that_could_be_begun_the_latest():
    """By 10 November: cuttings had until their March window (31 Mar), seed until its cold, 90 days before 12 May."""
    found = planned(need("N", 20, by="2027-11-10"), on="2027-04-05")
    nursery, plans = opened(farm(need("N", 20, by="2027-11-10")), "2027-04-05")
    the = Day(nursery, plans, day("2027-04-05"))
    had = {way.title: way.begin_by for way in ways_for(the, coverage(the).needs[0])}
    assert had == {"hardwood cutting": day("2027-03-31"), "seed": day("2027-02-11")}
    assert found.unmet[0].why == ("hardwood cutting cannot be ready by 10 Nov 27; it had to start by 31 Mar 27")


HOURS = "[farm]\nhours_per_week = 0.02\n"


def test_a_month_without_hours_left_leaves_a_need_unmet_and_is_named():
    found = planned(HOURS, need("N", 20, by="2028-12-31"))
    assert found.ways == ()
    assert found.unmet[0].why.startswith("hours in ")


def test_what_is_under_way_takes_its_hours_first():
    """Half an hour a week is some two hours in November; lifting what comes of 400 cuttings takes six of them."""
    few, wanted = "[farm]\nhours_per_week = 0.5\n", need("N", 500, by="2027-12-31")
    light = planned("[farm]\nhours_per_week = 20\n", wanted, batch("B", 400))
    assert [each.line.need.id for each in light.ways] == ["N"]
    found = planned(few, wanted, batch("B", 400))
    assert found.ways == ()
    assert found.unmet[0].why.startswith("hours in ")


def test_the_stock_plants_yield_is_shared():
    """Forty cuttings a year: two needs that take some thirty each cannot both be cut from them."""
    row = '[[stock_plant]]\nid = "row"\nspecies = "Arbor ficta"\nplace = "bed"\ncount = 1\nyields = 40\n'
    found = planned(row, need("N", 18, by="2028-01-31"), need("M", 18, by="2028-01-31"))
    assert sum(each.way.takes for each in found.ways if each.way.material == "cuttings") <= 40
    free = planned(need("N", 18, by="2028-01-31"), need("M", 18, by="2028-01-31"))
    assert sum(each.way.takes for each in free.ways if each.way.material == "cuttings") > 40


def test_two_ways_are_taken_where_none_alone_is_as_sure_as_asked():
    """The bed loses a whole lot in 5 years of 100, the frame in 10: none alone is 97 % sure, both are."""
    asked = need("N", 20, by="2028-12-31", sure=0.97)
    found = planned(asked)
    assert [each.line.need.id for each in found.ways] == ["N"]
    (chosen,) = found.ways
    assert isinstance(chosen.way, Split)
    assert len(chosen.parts) == 2
    assert chosen.way.chance >= 0.97
    nursery, plans = opened(farm(asked), TODAY)
    (line,) = [each for each in coverage(Day(nursery, plans, day(TODAY))).needs if each.need.id == "N"]
    assert not any(way.reaches(0.97) for way in ways_for(Day(nursery, plans, day(TODAY)), line) if not way.reason)
    pair = tuple(lot for lot in chosen.way.spread.two.lots)
    assert falling_short(20, pair, losses_of(nursery.farm)) == pytest.approx(1 - chosen.way.chance)


def test_a_way_of_which_nobody_knows_the_hours_is_no_lighter_than_one_that_is_known():
    """The same hardwood cutting by a second route whose steps have no rates: it weighed nothing, and was taken."""
    route = CUTTINGS.replace('method = "hardwood cutting"\n', 'method = "hardwood cutting"\nroute = "at leisure"\n')
    route = "".join(line for line in route.splitlines(keepends=True) if not line.startswith("per_hour"))
    (chosen,) = planned(route, need("N", 20, by="2028-12-31")).ways
    assert chosen.way.hours is not None
