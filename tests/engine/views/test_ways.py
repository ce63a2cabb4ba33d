"""A batch that is being thought of: the grower's own shares stand before the book's, and what it takes is told."""

from __future__ import annotations

import pytest
from scipy import stats

from engine.needs.coverage import ways_for
from engine.odds.lots_to_come import YEAR_DAYS
from engine.odds.survivors import survivors
from engine.protocols.model import Species
from engine.records.rates import learned_for, track_of
from engine.schedule.plan import Day
from engine.views.stock import stock_view
from engine.views.ways import Preview, ways_view
from tests.engine.needs.homes import batch, farm, need, opened
from tests.engine.schedule.farms import day, entry

TODAY = "2027-12-20"
ON = day(TODAY)
STUCK = entry("2027-03-02", "done", "stick", count=100)
LIFTED = entry("2027-11-10", "done", "lift", there=30, count=27)


def previews(*parts: str, count: int = 100, ready: str = "", entries=(), cultivar: str = "") -> dict[str, Preview]:
    nursery, plans = opened(farm(*parts), TODAY, *entries)
    until = day(ready) if ready else None
    start = None if until else day("2028-02-01")
    found = ways_view(Day(nursery, plans, ON), Species("Arbor ficta"), cultivar, count, start, until)
    return {way.protocol.method: way for way in found}


def test_without_batches_of_ones_own_the_share_is_the_books_and_says_so():
    way = previews()["hardwood cutting"]
    assert way.share == pytest.approx(0.8 * 0.9)
    assert way.says()[0].startswith("72 % by the library; no batch of yours yet")


def test_after_a_poor_batch_the_preview_leans_on_it_and_says_from_what():
    poor = previews(batch("B", 100), entries=(STUCK, LIFTED))["hardwood cutting"]
    assert 0.3 < poor.share < 0.72
    share = f"{poor.share * 100:.0f}"
    assert poor.says()[0].startswith(f"yours {share} % from 1 batch; library 72")
    assert poor.likely < previews()["hardwood cutting"].likely


def test_the_shares_are_those_by_which_a_need_is_sized():
    """One rule: the preview of as many as a way starts comes through, as surely, with as many hours and dates."""
    nursery, plans = opened(farm(batch("B", 100), need("N", 40, by="2028-12-31")), TODAY, STUCK, LIFTED)
    (line,) = stock_view(Day(nursery, plans, ON)).needs
    for way in ways_for(Day(nursery, plans, ON), line):
        if way.starts is None:
            continue
        found = ways_view(
            Day(nursery, plans, ON),
            Species("Arbor ficta"),
            "",
            way.takes,
            None,
            day("2028-12-31"),
        )
        same = next(preview for preview in found if preview.protocol is way.protocol)
        assert (same.ready, same.hours) == (way.ready, way.hours)
        assert same.prospect.lot(way.takes).until((day("2028-12-31") - ON).days) == way.lot
        assert same.sure >= line.short  # it asks 90 %


def test_the_sure_count_and_the_range_are_those_of_scipys_distribution():
    """Seed: half comes up, worth four plants: a beta-binomial; the frame is lost with 1 in 10 a year."""
    way = previews()["seed"]
    assert [rate.mean for rate in way.prospect.shares.rates] == [0.5]
    (stay,) = way.prospect.stays
    stood = 0.9 ** ((stay.until - stay.since) / YEAR_DAYS)
    counted = stats.betabinom(100, 2, 2)
    assert stood * counted.sf(way.sure - 1) >= 0.9 > stood * counted.sf(way.sure)
    low, high = way.runs
    assert counted.sf(low - 1) >= 0.95 > counted.sf(low)
    assert counted.sf(high - 1) >= 0.05 > counted.sf(high)
    assert way.likely == round(50 * stood)


def test_where_a_place_is_lost_too_often_nothing_is_sure():
    way = previews('[[place]]\nname = "store"\nlot_loss_per_year = 0.6\n')["seed"]
    assert way.sure == 0
    assert way.likely > 0


def test_what_it_takes_of_the_stock_plants_is_told_against_what_they_have_left():
    kept = '[[stock_plant]]\nid = "row"\nspecies = "Arbor ficta"\ncount = 10\nyields = 12\n'
    asks = batch("C", 50, start="2028-02-01")
    enough = previews(kept, asks, count=70)["hardwood cutting"]
    assert enough.says()[1] == "takes 70 cuttings; stock plants have 70 left in 2028"
    assert previews(kept, asks, count=71)["hardwood cutting"].says()[1].endswith("70 left in 2028: too few")
    assert len(previews(asks)["hardwood cutting"].says()) == 1


def test_a_cultivar_leans_on_its_own_batches_first():
    bad = batch("B", 100, more='cultivar = "Old Red"\n')
    own = previews(bad, entries=(STUCK, LIFTED), cultivar="Old Red")["hardwood cutting"]
    other = previews(bad, entries=(STUCK, LIFTED), cultivar="New Red")["hardwood cutting"]
    assert own.prospect.shares.behind == (1, 0)
    assert other.prospect.shares.behind == (0, 1)
    assert " % from 1 batch of related plants; library 72" in other.says()[0]


def test_the_share_of_every_step_is_the_learned_one():
    nursery, _ = opened(farm(batch("B", 100)), TODAY, STUCK, LIFTED)
    way = previews(batch("B", 100), entries=(STUCK, LIFTED))["hardwood cutting"]
    track = track_of(nursery.records)
    steps = way.protocol.steps
    assert dict(way.prospect.shares.learned) == {
        k: learned_for(track, way.protocol, "", s) for k, s in enumerate(steps)
    }
    mean = sum(j * p for j, p in enumerate(survivors(100, way.prospect.shares.rates)))
    assert mean == pytest.approx(100 * way.share)
