"""From a chosen way to the batches that are recorded: what the way said is what the plan then is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.acts.action import Refused
from engine.acts.batches import new_batch
from engine.needs.batches_to_start import batches_for
from engine.needs.coverage import coverage, ways_for
from engine.needs.need_lines import NeedLine
from engine.needs.stays_and_losses import losses_of
from engine.needs.ways import Split, Way, splits
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan
from tests.engine.needs.homes import farm, need, opened
from tests.engine.schedule.farms import day, entry

TODAY = "2027-02-01"
ON = day(TODAY)
DATED = need("N7", 40, more='who = "Hale"\n')
UNDATED = '[[need]]\nid = "N8"\nspecies = "Arbor ficta"\ncount = 40\n'


def shortfall(*parts: str) -> tuple[Nursery, NeedLine, dict[str, Way]]:
    nursery, plans = opened(farm(*parts), TODAY)
    (line,) = coverage(Day(nursery, plans, ON)).needs
    return nursery, line, {way.protocol.method: way for way in ways_for(Day(nursery, plans, ON), line)}


def planned(nursery: Nursery, line: NeedLine, chosen: Way | Split) -> dict[str, Plan]:
    """The plans after the batches were recorded, one after another."""
    home, entries = nursery.farm, []
    for wanted in batches_for(nursery, line, chosen, ON):
        action = new_batch(opened(home, TODAY, *entries)[0], wanted, ON)
        entries.append(entry(TODAY, action.kind, **action.data))
    return {plan.lot.id: plan for plan in opened(home, TODAY, *entries)[1]}


@pytest.mark.parametrize("method", ["hardwood cutting", "seed"])
def test_one_way_is_one_batch_that_dates_backward_from_the_need(method: str):
    nursery, line, ways = shortfall(DATED)
    way = ways[method]
    (batch,) = batches_for(nursery, line, way, ON)
    assert (batch.id, batch.species, batch.method, batch.count) == ("AF27", "Arbor ficta", method, way.takes)
    assert (batch.start, batch.ready, batch.note) == (None, day("2027-12-31"), "for N7, Hale")
    plan = planned(nursery, line, way)["AF27"]
    first = min(aim for aim in plan.now.aims if aim is not None)
    assert way.start_by is not None
    assert first <= way.start_by.toordinal()
    ready = plan.now.ready(plan.chain)
    assert ready is not None
    assert ready <= batch.ready.toordinal()


def test_without_a_day_it_may_start_today():
    nursery, line, ways = shortfall(UNDATED)
    (batch,) = batches_for(nursery, line, ways["seed"], ON)
    assert (batch.start, batch.ready, batch.note) == (ON, None, "for N8")
    assert "AF27" in planned(nursery, line, ways["seed"])


def test_a_split_is_two_batches_with_ids_of_their_own_and_covers_the_need():
    nursery, line, ways = shortfall(DATED)
    for pair in splits(line.short, list(ways.values()), losses_of(nursery.farm)):
        one, other = batches_for(nursery, line, pair, ON)
        assert (one.id, other.id) == ("AF27", "AF27b")
        assert (one.method, other.method) == (pair.one.protocol.method, pair.other.protocol.method)
        assert (one.count, other.count) == tuple(lot.count for lot in pair.spread.two.lots)
        assert set(planned(nursery, line, pair)) == {"AF27", "AF27b"}


def test_after_the_batches_the_need_is_covered():
    nursery, line, ways = shortfall(DATED)
    entries = []
    for wanted in batches_for(nursery, line, ways["hardwood cutting"], ON):
        action = new_batch(nursery, wanted, ON)
        entries.append(entry(TODAY, action.kind, **action.data))
    after, plans = opened(nursery.farm, TODAY, *entries)
    assert coverage(Day(after, plans, ON)).needs[0].short == 0


def test_the_route_and_the_cultivar_go_with_it():
    nursery, line, ways = shortfall(need("N7", 40, more='cultivar = "Old Red"\n'))
    way = ways["hardwood cutting"]
    routed = replace(way, protocol=replace(way.protocol, route="under mesh"))
    (batch,) = batches_for(nursery, line, routed, ON)
    assert (batch.cultivar, batch.route) == ("Old Red", "under mesh")


def test_a_way_that_cannot_be_is_refused_with_its_reason():
    nursery, line, ways = shortfall(need("N7", 40, by="2027-10-01"))
    with pytest.raises(Refused, match="cannot be ready by 1 Oct 27"):
        batches_for(nursery, line, ways["seed"], ON)
