"""The ways to meet a need on ten-line farms: latest starts, exact starts, hours, and a need split over two."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.farm.stock import Need
from engine.needs.sizing import sizing
from engine.needs.stays_and_losses import losses_of
from engine.needs.ways import Way, lean_splits, splits, ways
from engine.odds.lots_to_come import YEAR_DAYS
from engine.odds.rates import book_rate
from engine.odds.spread import falling_short
from engine.odds.starts import start
from engine.schedule.plan import Day
from tests.engine.needs.homes import CUTTINGS, batch, farm, opened
from tests.engine.schedule.farms import day
from tests.sampled import examples

TODAY = day("2027-02-01")
BY = day("2027-12-31")
HOME = farm()
NURSERY, PLANS = opened(HOME, "2027-02-01")
LOSSES = losses_of(HOME)


def asked(
    count: int = 50, by: date | None = BY, sure: float = 0.9, form: str = "", cultivar: str = ""
) -> dict[str, Way]:
    found = ways(Day(NURSERY, PLANS, TODAY), Need("", "Arbor ficta", cultivar, form, count, by, sure))
    return {way.protocol.method: way for way in found}


def test_the_latest_start_is_counted_back_from_the_day():
    """Lifting ends 15 December; cuttings are stuck until 31 March, seed goes into the cold 90 days before 12 May."""
    found = asked()
    cutting, seed = found["hardwood cutting"], found["seed"]
    assert (cutting.first_step, cutting.start_by, cutting.ready) == ("stick", day("2027-03-31"), day("2027-11-01"))
    assert (seed.first_step, seed.start_by) == ("stratify cold", day("2027-02-11"))
    assert not cutting.reason
    assert not seed.reason


def test_what_cannot_be_ready_says_so_with_the_day_by_which_it_had_to_start():
    seed = asked(by=day("2027-10-01"))["seed"]
    assert seed.reason.startswith("cannot be ready by 1 Oct 27")
    assert "shown" not in seed.reason
    assert seed.starts is None


def test_the_starts_are_exact_and_the_places_loss_is_in_the_odds():
    """The bed loses 5 % of lots a year: to be 90 % sure the rest must be 90 % over the chance that it stands."""
    way = asked(50)["hardwood cutting"]
    assert way.lot is not None
    assert way.starts is not None
    (stay,) = way.lot.stays
    assert stay.place == "bed"
    stands = 0.95 ** ((stay.until - stay.since) / YEAR_DAYS)
    assert way.starts == start(50, (book_rate(0.8, (0.5, 0.98)), book_rate(0.9, (0.78, 0.98))), 0.9 / stands)
    assert way.chance == pytest.approx(1 - falling_short(50, (way.lot,), LOSSES), abs=1e-9)
    assert way.chance >= 0.9 - 1e-9


def test_every_place_on_its_way_may_lose_it():
    """Seed kept cold from 11 February on, sown in the frame in May: the store's loss and the frame's multiply."""
    store = farm('[[place]]\nname = "store"\nlot_loss_per_year = 0.2\n')
    nursery, plans = opened(store, "2027-02-01")
    seed = next(
        w
        for w in ways(Day(nursery, plans, TODAY), Need("", "Arbor ficta", "", "", 50, BY, 0.8))
        if w.protocol.method == "seed"
    )
    assert seed.lot is not None
    assert seed.starts is not None
    kept, sown = seed.lot.stays
    assert (kept.place, sown.place, kept.until) == ("store", "frame", sown.since)
    assert 90 <= kept.until - kept.since <= 120
    stands = 0.8 ** ((kept.until - kept.since) / YEAR_DAYS) * 0.9 ** ((sown.until - sown.since) / YEAR_DAYS)
    assert seed.chance == pytest.approx(seed.starts.sure * stands)
    assert seed.chance == pytest.approx(1 - falling_short(50, (seed.lot,), losses_of(store)), abs=1e-9)


def test_where_the_place_allows_no_such_sureness_it_is_told():
    way = asked(50, sure=0.99)["hardwood cutting"]
    assert "with one lot the chance is at most" in way.notes[0]
    assert way.chance < 0.99


def test_only_surenesses_that_are_reached_are_offered():
    """The bed stands with 0.95 ** (305 / 365.25), 95.8 %: one lot is 90 % sure to be enough, and 95 % hardly ever."""
    for sure, reached, others in ((0.9, True, {0.8}), (0.99, False, {0.8, 0.9})):
        need = Need("", "Arbor ficta", "", "", 50, BY, sure)
        found = sizing(Day(NURSERY, PLANS, TODAY), need, "hardwood cutting", "")
        assert found.way.reaches(sure) is reached
        assert {level for level, _ in found.others} == others


def test_hours_are_those_of_every_act_for_as_many_as_are_left():
    way = asked(50)["hardwood cutting"]
    assert way.hours == pytest.approx(way.takes / 100 + way.takes * 0.8 / 50)


def test_a_form_that_a_way_does_not_end_in_is_refused():
    assert asked(form="pot")["seed"].reason == "it gives bare-root plants, not pots"
    assert not asked(form="bare root")["seed"].reason


def test_a_cultivar_is_not_raised_from_seed_unless_the_grower_does():
    assert asked(cultivar="Old Red")["seed"].reason == "seedlings are not Old Red"
    strain = farm(batch("S", method="seed", start="2026-12-15", more='cultivar = "Old Red"\n'))
    nursery, plans = opened(strain, "2027-02-01")
    found = ways(Day(nursery, plans, TODAY), Need("", "Arbor ficta", "Old Red", "", 50, BY, 0.9))
    assert not any(way.reason for way in found)


def test_stock_plants_give_what_batches_leave():
    kept = '[[stock_plant]]\nid = "row"\nspecies = "Arbor ficta"\ncount = 10\nyields = 12\n'
    home = farm(kept, batch("B", 70, start="2028-02-01"))
    nursery, plans = opened(home, "2027-02-01")
    assert home.stock_plants[0].material == "cuttings"
    found = {
        w.protocol.method: w.gives
        for w in ways(Day(nursery, plans, TODAY), Need("", "Arbor ficta", "", "", 9, day("2028-12-31"), 0.9))
    }
    assert found == {"hardwood cutting": 50, "seed": None}


@examples(25)
@given(st.integers(1, 60), st.floats(0.5, 0.95), st.floats(0.5, 0.95))
def test_more_sureness_never_takes_fewer_starts(count: int, one: float, other: float):
    less, more = (asked(count, sure=sure) for sure in sorted((one, other)))
    for method in ("hardwood cutting", "seed"):
        assert less[method].takes <= more[method].takes


@examples(10)
@given(st.integers(2, 60), st.sampled_from((0.8, 0.9)))
def test_splitting_keeps_what_is_expected_to_half_a_plant(count: int, sure: float):
    found = list(asked(count, sure=sure).values())
    pairs = splits(count, found, LOSSES)
    assert [pair.one is pair.other for pair in pairs] == [False]  # two sowings by one way on one day are as one
    for pair in pairs:
        assert pair.spread.two.expected == pytest.approx(pair.spread.one.expected, abs=0.5)
    assert [p.spread.two.short for p in pairs] == sorted(p.spread.two.short for p in pairs)


def two_ways() -> list[Way]:
    """Cuttings of the wood and of the root, in one bed, which come through alike but each method in its own way."""
    roots = CUTTINGS.replace('"hardwood cutting"', '"root cutting"')
    nursery, plans = opened(farm(roots), "2027-02-01")
    return [
        way
        for way in ways(Day(nursery, plans, TODAY), Need("", "Arbor ficta", "", "", 50, BY, 0.9))
        if way.protocol.method != "seed"
    ]


def test_two_methods_are_surer_than_either():
    found = two_ways()
    (mixed,) = splits(50, found, LOSSES)
    assert mixed.spread.two.short < min(1 - way.chance for way in found)


def test_a_lean_split_is_as_sure_as_all_in_one_with_fewer_starts_and_costs_less():
    found = two_ways()
    pairs = splits(50, found, LOSSES)
    lean = lean_splits(50, pairs, LOSSES, 0.9)
    assert lean
    totals = [sum(lot.count for lot in pair.spread.two.lots) for pair in lean]
    assert totals == sorted(totals)
    for pair, total in zip(lean, totals, strict=True):
        assert pair.lean
        assert pair.spread.two.short <= 0.1 + 1e-9
        assert total < min(pair.one.takes, pair.other.takes)
    assert not any(pair.lean for pair in pairs)
