"""What the journal teaches of rates: went in, came through, one a batch; pooled from genus to species to cultivar."""

from __future__ import annotations

import pytest

from engine.journal.entry import Entry
from engine.odds.rates import Went, book_rate, learned_rate
from engine.records.rates import Act, book_of, learned_for, track_of
from tests.engine.needs.homes import batch, covered, farm, need, opened
from tests.engine.schedule.farms import day, entry

STICK = Act("Arbor ficta", "", "hardwood cutting", "", "stick")


def went(*entries: Entry, batches: str = "", act: Act = STICK) -> tuple[Went, ...]:
    nursery, _ = opened(farm(batches or batch("B", 100)), "2027-12-20", *entries)
    return track_of(nursery.records).went.get(act, ())


LIFT = Act("Arbor ficta", "", "hardwood cutting", "", "lift")
SEEN = {"form": "cutting", "grade": "", "place": "bed"}


def stuck(count: int, name: str = "B", **more: object) -> Entry:
    return entry("2027-03-02", "done", "stick", batch=name, count=count, **more)


def lifted(there: int, count: int | None = None, name: str = "B") -> Entry:
    """Lifted: so many were alive, and, where that is told apart, so many of them went on."""
    told = {"count": there} if count is None else {"there": there, "count": count}
    return entry("2027-11-05", "done", "lift", batch=name, **told)


def counted(count: int, name: str = "B", on: str = "2027-08-02") -> Entry:
    return entry(on, "count", batch="", lot=name, **SEEN, count=count)


def test_nothing_is_learned_on_the_day_that_something_goes_in():
    assert went(stuck(100)) == ()
    assert went(stuck(80)) == ()  # 20 were thrown out: no look at how cuttings root


def test_a_batch_counted_is_one_look():
    """100 stuck, 80 found alive when lifted, 60 of them good enough to go on."""
    assert went(stuck(100), lifted(80, 60)) == (Went(80, 100),)
    assert went(stuck(100), lifted(80, 60), act=LIFT) == (Went(60, 80),)


def test_where_only_one_number_is_told_it_is_how_many_are_there():
    assert went(stuck(100), lifted(80)) == (Went(80, 100),)
    assert went(stuck(100), lifted(80), act=LIFT) == ()


def test_a_count_between_two_acts_teaches_too_and_once():
    assert went(stuck(100), counted(70), lifted(66, 60)) == (Went(70, 100),)
    assert went(stuck(100), counted(70), lifted(66, 60), act=LIFT) == (Went(60, 70),)


def test_parts_of_a_batch_are_one_look_together():
    """Of 100, 40 are stuck first and 60 later: 30 and 50 of them root."""
    first = stuck(40, left=60, part="B/1")
    rest = entry("2027-03-20", "done", "stick", count=60)
    assert went(first, rest, lifted(30, name="B/1"), lifted(50)) == (Went(80, 100),)
    assert went(first, rest, lifted(30, name="B/1")) == (Went(30, 40),)
    joined = entry("2027-03-05", "done", "stick", count=60, join=["B/1"])
    assert went(first, joined, lifted(80)) == (Went(80, 100),)


def test_what_was_seen_lost_counts_at_the_next_count_and_what_was_sold_or_an_accident_does_not():
    held = {"lot": "B", **SEEN}
    mould = entry("2027-05-01", "lose", batch="", **held, count=20, cause="mould")
    mice = entry("2027-05-01", "lose", batch="", **held, count=20, cause="mice")
    sold = entry("2027-05-02", "sell", batch="", **held, count=10, to="Hale")
    assert went(stuck(100), mould, sold, lifted(45)) == (Went(45, 90),)
    assert went(stuck(100), mice, sold, lifted(45)) == (Went(45, 70),)


@pytest.mark.parametrize(("cause", "learned"), [("none rooted", (Went(0, 100),)), ("mice", ()), ("", ())])
def test_a_lot_lost_whole_teaches_where_the_method_failed(cause: str, learned: tuple[Went, ...]):
    dropped = entry("2027-06-01", "drop", batch="B", reason=cause)
    lost = entry("2027-06-01", "lose", batch="", lot="B", **SEEN, count=100, cause=cause)
    assert went(stuck(100), dropped) == learned
    assert went(stuck(100), lost) == learned


def test_what_is_not_done_teaches_nothing():
    assert went() == ()


def test_a_cultivar_leans_on_its_species_and_that_on_the_book():
    """One batch of each of two cultivars: the second's rate is learned from the first's, and that from the book's."""
    two = batch("A", 100, more='cultivar = "Red"\n') + batch("B", 100, more='cultivar = "White"\n')
    nursery, _ = opened(
        farm(two), "2027-12-20", *(e for n, c in (("A", 30), ("B", 90)) for e in (stuck(100, n), lifted(c, name=n)))
    )
    track, protocol = track_of(nursery.records), nursery.farm.batches[0].protocol
    step = protocol.steps[0]
    book = book_of(step)
    assert book == book_rate(0.8, (0.5, 0.98))
    learned = learned_for(track, protocol, "White", step)
    assert learned is not None
    assert (learned.batches, learned.kindred) == (1, 1)
    assert learned.rate == learned_rate(learned_rate(book, [Went(30, 100)]), [Went(90, 100)])
    other = learned_for(track, protocol, "Red", step)
    assert other is not None
    assert other.rate.mean < learned.rate.mean
    none = learned_for(track, protocol, "Blue", step)
    assert none is not None
    assert (none.batches, none.kindred) == (0, 2)


def test_it_is_said_as_a_grower_would():
    nursery, _ = opened(farm(batch("B", 100)), "2027-12-20", stuck(100), lifted(40))
    track, protocol = track_of(nursery.records), nursery.farm.batches[0].protocol
    found = [(step.do, learned_for(track, protocol, "", step)) for step in protocol.steps]
    says = [learned.says(do) for do, learned in found if learned is not None]
    assert says[0].startswith("your stick: 7")
    assert says[0].endswith("from 1 batch; library 80 %")
    assert says[1].endswith("by the library; no batch of yours yet")


@pytest.mark.parametrize(("through", "better"), [(95, True), (20, False)])
def test_what_is_coming_is_reckoned_by_the_growers_own_rates(through: int, better: bool):
    home = farm(batch("A", 100, start="2026-02-01"), batch("B", 100), need("N", 100))
    last_year = entry("2026-03-05", "done", "stick", batch="A", count=100)
    alive = entry("2026-09-01", "count", batch="", lot="A", **SEEN, count=through)
    gone = entry("2026-12-01", "drop", batch="A")
    told = ((last_year, gone), (last_year, alive, gone))
    before, after = (covered(home, "2027-02-01", *entries).needs[0].to_come for entries in told)
    assert (after > before) == better
    assert after != before
    assert day("2027-02-01") < day("2027-11-01")


WILLOW = """
[[protocol]]
species = "Salix {name}"
method = "hardwood cutting"
whole = true
[[protocol.step]]
do = "stick"
opens = ["1 Mar"]
closes = ["31 Mar"]
survive = {survive}
[[protocol.step]]
do = "lift"
opens = ["1 Nov"]
closes = ["15 Dec"]
"""


def willows(name: str, batches: int) -> str:
    told = '[[batch]]\nid = "{0}-{1}"\nspecies = "Salix {0}"\nmethod = "hardwood cutting"\ncount = 100\n'
    return "".join(told.format(name, n) + "start = 2027-02-01\n" for n in range(batches))


@pytest.mark.parametrize(("through", "low", "high"), [(88, 0.27, 0.33), (60, 0.08, 0.2), (98, 0.34, 0.75)])
def test_kindred_plants_teach_how_far_they_came_out_from_their_own_book(through: int, low: float, high: float):
    """Six batches of a willow of which the book says 90; another's says 30. As good as its book: nothing changes."""
    books = WILLOW.format(name="facilis", survive=0.9), WILLOW.format(name="difficilis", survive=0.3)
    home = farm(*books, willows("facilis", 6), willows("difficilis", 1))
    names = [f"facilis-{n}" for n in range(6)]
    told = [*(stuck(100, name) for name in names), *(lifted(through, name=name) for name in names)]
    nursery, _ = opened(home, "2027-12-20", *told)
    protocol = next(b.protocol for b in nursery.farm.batches if b.species == "Salix difficilis")
    learned = learned_for(track_of(nursery.records), protocol, "", protocol.steps[0])
    assert learned is not None
    assert learned.kindred == 6
    assert low < learned.rate.mean < high
