"""Needs on ten-line farms: covered by stock, by what is coming, or short; what a lost lot changes."""

from __future__ import annotations

import pytest

from engine.acts.action import Refused
from engine.acts.find_in_stock import find_holding, open_ledger
from engine.acts.stock import move
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.needs.coverage import coverage, fallback, troubled
from engine.needs.promising import offer
from engine.odds.lots_to_come import YEAR_DAYS
from engine.odds.promise import promise
from engine.odds.rates import book_rate
from engine.schedule.plan import Day
from tests.engine.needs.homes import batch, covered, farm, need, opened, stock
from tests.engine.odds.lots import lot
from tests.engine.schedule.farms import day, entry

TODAY = "2027-02-01"
IN_BED = (day("2027-12-31") - day(TODAY)).days
"""Ready on 1 November, it stands in the bed until it is wanted."""
STUCK = (day("2027-03-01") - day(TODAY)).days
BOOK = (book_rate(0.8, (0.5, 0.98)), book_rate(0.9, (0.78, 0.98)))


def wanted(by, sure=0.9):
    return Need("", "Arbor ficta", "", "", 1, by, sure)


def counts(home, today=TODAY, *entries, without=()):
    found = covered(home, today, *entries, without=without)
    return {line.need.id: (line.met, line.from_hand, line.to_come, line.short) for line in found.needs}


def test_stock_first_then_what_is_as_sure_as_asked_and_the_rest_is_short():
    home = farm(batch("B", 100), stock("S", 30), need("N", 150))
    sure = promise([lot(100, BOOK, "bed", IN_BED, STUCK)], {"bed": 0.05}, 0.9).free
    assert 0 < sure < 80
    assert counts(home) == {"N": (0, 30, sure, 120 - sure)}


@pytest.mark.parametrize("sure", [0.5, 0.8, 0.95])
def test_a_need_is_covered_at_its_own_sureness(sure: float):
    home = farm(batch("B", 100), need("N", 100, sure=sure))
    expected = promise([lot(100, BOOK, "bed", IN_BED, STUCK)], {"bed": 0.05}, sure).free
    assert counts(home)["N"] == (0, 0, expected, 100 - expected)


def test_what_comes_after_the_day_does_not_count():
    """Cuttings stuck in March are lifted on 1 November at the soonest."""
    home = farm(batch("B"), need("EARLY", 10, by="2027-10-31"), need("LATE", 10, by="2027-11-01"))
    assert counts(home) == {"EARLY": (0, 0, 0, 10), "LATE": (0, 0, 10, 0)}


def test_the_earlier_need_is_served_first_and_nothing_twice():
    home = farm(batch("B", 100), need("LATER", 50, by="2027-12-31"), need("FIRST", 30, by="2027-12-01"))
    sure = promise([lot(100, BOOK, "bed", IN_BED, STUCK)], {"bed": 0.05}, 0.9).free
    assert counts(home) == {"FIRST": (0, 0, 30, 0), "LATER": (0, 0, sure - 30, 80 - sure)}


def test_a_need_takes_first_what_the_fewest_others_could_use():
    """Pots serve the first need alone, bare roots also the second, which will have nothing else."""
    any_form, bare = need("ANY", 10, by="2027-03-01"), need("BARE", 10, by="2027-04-01", form="bare root")
    home = farm(stock("A", 10), stock("B", 10, "pot"), any_form, bare)
    assert counts(home) == {"ANY": (0, 10, 0, 0), "BARE": (0, 10, 0, 0)}
    assert [line.taken for line in covered(home, TODAY).needs] == [(("B", 10),), (("A", 10),)]


def test_cuttings_that_were_stuck_are_promised_to_nobody_as_they_stand():
    stuck = entry("2027-03-02", "done", "stick", count=100)
    bare = need("BARE", 50, form="bare root")
    both = counts(farm(batch("B", 100), need("CUT", 90, form="cutting", by="2027-04-01"), bare), "2027-03-03", stuck)
    assert both["CUT"] == (0, 0, 0, 90)
    assert both["BARE"] == counts(farm(batch("B", 100), bare), "2027-03-03", stuck)["BARE"]


def test_nothing_is_surer_on_the_day_that_something_goes_in():
    """Sticking tells nothing of rooting: what comes is the book's the day before and the day after."""
    stuck = entry("2027-03-02", "done", "stick", count=100)
    home = farm(batch("B", 100), need("BARE", 100, form="bare root"))
    before, after = (covered(home, "2027-03-02", *told).stock.lines[0].coming for told in ((), (stuck,)))
    assert before is not None
    assert after is not None
    assert (before.likely, before.sure()) == (after.likely, after.sure())


def test_what_is_going_is_not_on_hand_until_it_is_counted():
    stuck = entry("2027-03-02", "done", "stick", count=90, cause="crooked")
    alive = entry("2027-08-02", "count", batch="", lot="B", form="cutting", grade="", place="bed", count=61)
    home = farm(batch("B", 100))
    (line,) = covered(home, "2027-03-03", stuck).stock.lines
    assert (line.on_hand, line.going, line.free) == (0, 90, 0)
    (line,) = covered(home, "2027-08-03", stuck, alive).stock.lines
    assert (line.on_hand, line.going, line.free) == (61, 0, 0)


def test_what_stands_ready_is_as_sure_as_its_place_until_the_day_it_is_wanted():
    """The bed loses whatever stands in it in 5 years of 100; 0.95 ** 2 is 0.90, 0.95 ** 2.5 is 0.88."""
    home = farm(stock("S", 30), need("SOON", 10, by="2029-01-15"), need("LATE", 10, by="2029-08-01"))
    assert counts(home) == {"SOON": (0, 10, 0, 0), "LATE": (0, 0, 0, 10)}
    late = covered(home, TODAY).needs[1]
    assert (late.unsure, late.chance) == (
        10,
        pytest.approx(0.95 ** ((day("2029-08-01") - day(TODAY)).days / YEAR_DAYS)),
    )
    (line,) = covered(home, TODAY).stock.lines
    assert (line.promised, line.free) == (20, 10)


def test_ready_or_the_day_before_it_is_the_same_promise():
    """Bare root in a bed that loses 5 % a year, wanted in three years: lifted today or tomorrow changes little."""
    stuck, lifted = entry("2027-03-02", "done", "stick", count=100), entry("2027-11-05", "done", "lift", count=90)
    home, by = farm(batch("B", 100)), day("2030-11-05")
    seen = {"lot": "B", "form": "cutting", "grade": "", "place": "bed"}
    alive = entry("2027-11-01", "count", batch="", **seen, count=95)
    for entries in ((stuck, alive), (stuck, alive, lifted)):
        nursery, plans = opened(home, "2027-11-05", *entries)
        assert offer(Day(nursery, plans, day("2027-11-05")), wanted(by)).promise.free == 0
        assert offer(Day(nursery, plans, day("2027-11-05")), wanted(by, 0.8)).promise.free > 50


def test_two_batches_stuck_on_one_day_in_one_bed_are_as_one():
    one = counts(farm(batch("A", 200), need("N", 200)))["N"][2]
    two = counts(farm(batch("A", 100), batch("B", 100), need("N", 200)))["N"][2]
    assert one == two


def test_two_lots_in_one_place_share_its_loss():
    """The bed is lost with 1 - 0.95 ** (305 / 365.25), 4.2 %: two lots there are never 97 % sure, two apart are."""
    together = farm(batch("A", 100), batch("B", 100), need("N", 20, sure=0.97))
    apart = farm(batch("A", 100), batch("B", 100, method="seed", start="2026-12-15"), need("N", 20, sure=0.97))
    assert counts(together)["N"][2] == 0
    assert counts(apart)["N"][2] == 20


def test_without_a_lot_its_needs_fall_short_and_the_ways_that_are_left_are_told():
    home = farm(batch("B", 100), need("N", 40))
    nursery, plans = opened(home, TODAY)
    (lost,) = fallback(Day(nursery, plans, day(TODAY)), "B")
    assert (lost.line.need.id, lost.more, lost.line.short) == ("N", 40, 40)
    possible = {way.protocol.method: way for way in lost.ways if not way.reason}
    assert set(possible) == {"hardwood cutting", "seed"}
    assert possible["seed"].start_by == day("2027-02-11")  # 90 days before 12 May
    assert fallback(Day(nursery, plans, day(TODAY)), "nothing") == ()


def test_after_a_missed_window_the_need_is_short_and_the_lot_is_named():
    home = farm(batch("B"), need("N", 40))
    _, plans = opened(home, "2027-04-05")
    assert troubled(plans, day("2027-04-05")) == ("B",)
    assert counts(home, "2027-04-05")["N"] == (0, 0, 0, 40)
    assert troubled(opened(home, "2027-03-05")[1], day("2027-03-05")) == ()


NEVER = """
[[protocol]]
species = "Arbor ficta"
method = "simple layer"
whole = true
[[protocol.step]]
do = "peg down"
opens = ["1 Jan"]
closes = ["31 Jan"]
[[protocol.step]]
do = "sever"
wait_days = [0, 2]
opens = ["1 Jun"]
closes = ["30 Jun"]
"""


def test_nothing_is_told_to_come_of_a_lot_that_no_year_fits():
    """It has no dates at all: its count was told as coming all the same."""
    home = farm(NEVER, batch("B", 26, method="simple layer"), need("N", 10, by="2030-12-31"))
    (line,) = covered(home, "2027-03-05").stock.lines
    assert line.coming is not None
    assert (line.coming.ready, line.coming.likely, line.coming.sure()) == (None, 0, 0)
    assert counts(home, "2027-03-05")["N"] == (0, 0, 0, 10)


@pytest.mark.parametrize(("form", "on_hand"), [("", 0), ("cutting", 40)])
def test_what_is_on_hand_of_a_lot_that_missed_a_window_is_no_finished_plant(form: str, on_hand: int):
    """A need that asks for cuttings gets them as they are, once counted; one that asks for plants gets none."""
    done = entry("2027-03-10", "done", "stick", count=200)
    alive = entry("2027-08-02", "count", batch="", lot="B", form="cutting", grade="", place="bed", count=200)
    home = farm(batch("B"), need("N", 40, by="2028-12-31", form=form))
    assert troubled(opened(home, "2028-01-20", done, alive)[1], day("2028-01-20")) == ("B",)
    (line,) = covered(home, "2028-01-20", done, alive).stock.lines
    assert (line.on_hand, line.form, line.promised, line.free) == (200, "cutting", on_hand, 0)
    assert line.coming is not None
    assert (line.coming.missed, line.coming.ready, line.coming.likely, line.coming.sure()) == (True, None, 0, 0)
    assert counts(home, "2028-01-20", done, alive)["N"] == (0, on_hand, 0, 40 - on_hand)
    assert counts(home, "2028-01-20", done)["N"] == (0, 0, 0, 40)


def test_what_went_out_to_a_need_is_met():
    sold = {"lot": "S", "form": "bare root", "grade": "", "place": "bed", "count": 12, "need": "N", "to": "Hale"}
    gone = entry("2027-01-20", "sell", batch="", **sold)
    home = farm(stock("S", 30), need("N", 20))
    assert counts(home, TODAY, gone)["N"] == (12, 8, 0, 0)


# -- promises


def test_a_promise_counts_stock_and_what_comes_less_what_is_promised():
    home = farm(batch("B", 100), stock("S", 30), need("N", 40, by="2027-12-01"))
    nursery, plans = opened(home, TODAY)
    by = day("2027-12-31")
    lots = [lot(100, BOOK, "bed", IN_BED, STUCK), lot(30, (), "bed", (by - day(TODAY)).days)]
    found = offer(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "bare root", 1, by, 0.9))
    assert found.promise == promise(lots, {"bed": 0.05, "frame": 0.1}, 0.9, 40)
    assert [line.need.id for line in found.needs] == ["N"]
    before = offer(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "bare root", 1, day("2027-06-01"), 0.9))
    assert (before.promise.free, [s.line.lot for s in before.shares]) == (0, ["S"])


def test_a_doubtful_name_is_not_promised_as_a_cultivar():
    home = farm(stock("S", 30, more='cultivar = "Old Red"\n'))
    doubt = entry("2027-01-20", "doubt", batch="", lot="S")
    for entries, free in (((), 30), ((doubt,), 0)):
        nursery, plans = opened(home, TODAY, *entries)
        by = day(TODAY)
        assert offer(Day(nursery, plans, by), Need("", "Arbor ficta", "Old Red", "", 1, by, 0.9)).promise.free == free


def test_a_lot_that_was_doubted_before_its_first_act_is_promised_to_nobody_by_its_cultivar():
    """A label lost on a bag of scions: what comes of it is some fictive tree, and no more is said."""
    home = farm(batch("B", 200, more='cultivar = "Red"\n'), need("N1", 40, more='cultivar = "Red"\n'), need("N2", 40))
    sure = {line.need.id: line.short for line in covered(home, TODAY).needs}
    assert sure == {"N1": 0, "N2": 0}
    doubted = entry("2027-01-05", "doubt", batch="", lot="B")
    found = {line.need.id: line for line in covered(home, TODAY, doubted).needs}
    assert (found["N1"].short, found["N1"].parts) == (40, ())
    assert found["N2"].short == 0


def moved(lot: str, count: int, to: str) -> Entry:
    return entry("2027-04-02", "move", batch="", lot=lot, form="cutting", grade="", place="bed", count=count, to=to)


def test_what_is_moved_on_its_way_bears_the_risk_of_where_it_stands_until_its_next_act():
    """The frame loses a lot in 10 years of 100, the bed in 5: 200 stuck in April, in the frame until November."""
    home, stuck = farm(batch("B")), entry("2027-03-10", "done", "stick", batch="B", count=200)
    by, told = day("2027-11-01"), []
    for entries in ((stuck,), (stuck, moved("B", 200, "frame"))):
        nursery, plans = opened(home, "2027-04-03", *entries)
        told.append(offer(Day(nursery, plans, day("2027-04-03")), wanted(by)).promise.expected)
    days = (by - day("2027-04-03")).days
    assert told[1] / told[0] == pytest.approx((0.9 / 0.95) ** (days / YEAR_DAYS), rel=1e-9)


def test_a_part_of_what_is_on_its_way_is_split_off_before_it_is_moved_and_is_promised_as_before():
    """Moved as it stood, sixty cuttings that nobody counted alive were stock, and promised for certain."""
    home, stuck = farm(batch("B")), entry("2027-03-10", "done", "stick", batch="B", count=200)
    today = day("2027-04-03")
    nursery, plans = opened(home, "2027-04-03", stuck)
    ledger = open_ledger(home, nursery.records, (stuck,), today, today)
    with pytest.raises(Refused) as refused:
        move(ledger, find_holding(ledger, "B"), 60, "frame")
    assert "split" in refused.value.hint
    before = offer(Day(nursery, plans, today), wanted(day("2027-12-01"))).promise
    parted = entry(
        "2027-04-02", "split", batch="", lot="B", form="cutting", grade="", place="bed", count=60, into="B/1"
    )  # fmt: skip
    nursery, plans = opened(home, "2027-04-03", stuck, parted)
    assert offer(Day(nursery, plans, today), wanted(day("2027-12-01"))).promise == before
    nursery, plans = opened(home, "2027-04-03", stuck, parted, moved("B/1", 60, "frame"))
    assert not any(line.on_hand for line in coverage(Day(nursery, plans, today)).stock.lines)
    spread = offer(Day(nursery, plans, today), wanted(day("2027-12-01"))).promise
    assert 0 < spread.expected < before.expected
