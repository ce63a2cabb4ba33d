"""What the stock plants gave each year, beside what plants of their age were expected to give (invented figures)."""

from __future__ import annotations

from datetime import date

from engine.schedule.plan import plan_all
from engine.views.trace import trace
from engine.views.yields import YieldHistory, taken_by_year, yield_histories
from tests.engine.records.farms import TODAY, Journal, farm_of
from tests.engine.views.test_stock_day import PLANTS

SEED = ("Fictus montana", "", "seed")
SINCE = date(2026, 11, 3)


def histories(journal: Journal, on: date = TODAY) -> tuple[YieldHistory, ...]:
    nursery = journal.nursery(on)
    return yield_histories(nursery.farm, journal.watched(), plan_all(nursery, on), on)


def years(journal: Journal, on: date = TODAY) -> dict[int, tuple[float, int, int | None]]:
    [one] = histories(journal, on)
    return {year.year: (year.expected, year.asked, year.gave) for year in one.years}


def test_nothing_was_taken_until_something_is_recorded():
    assert years(Journal(farm_of(PLANTS))) == {2027: (36.0, 40, 0), 2028: (36.0, 0, None)}


def test_what_a_batch_collected_counts_in_the_year_in_which_it_was():
    journal = Journal(farm_of(PLANTS))
    journal.tell("done", SINCE, batch="M1", step="collect", count=31)
    assert years(journal) == {2026: (36.0, 40, 31), 2027: (36.0, 0, 0), 2028: (36.0, 0, None)}
    journal.tell("undo", of=journal.entries[0].id)
    assert years(journal)[2027] == (36.0, 40, 0)


def test_younger_plants_are_expected_to_give_what_plants_of_their_age_give():
    journal = Journal(farm_of(PLANTS.replace("planted = 2020", "planted = 2021")))
    journal.tell("done", SINCE, batch="M1", step="collect", count=31)
    assert years(journal)[2026] == (8.0, 40, 31)  # 4 plants, 5 years old, 2 each
    assert years(journal)[2027] == (36.0, 0, 0)


def test_parts_collected_on_two_days_add_up_also_once_they_are_joined():
    journal = Journal(farm_of(PLANTS))
    journal.tell("done", SINCE, batch="M1", step="collect", count=12, left=25, part="M1/1")
    assert years(journal)[2026][2] == 12
    journal.tell("done", date(2026, 11, 5), batch="M1", step="collect", count=24)
    assert years(journal)[2026][2] == 36
    lots = {lot.id: lot for lot in journal.records.lots}
    second = next(s.do for s in lots["M1"].batch.protocol.steps if s.do not in lots["M1"].done)
    for lot in ("M1/1", "M1"):
        join = {"join": ["M1/1"]} if lot == "M1" else {}
        journal.tell("done", date(2026, 11, 8), batch=lot, step=second, count=lots[lot].count, **join)
    assert [lot.id for lot in journal.records.lots if lot.batch.id == "M1"] == ["M1"]
    assert years(journal)[2026][2] == 36


def test_parts_joined_as_they_are_collected_are_counted_once():
    journal = Journal(farm_of(PLANTS))
    journal.tell("done", SINCE, batch="M1", step="collect", count=12, left=25, part="M1/1")
    journal.tell("done", date(2026, 11, 5), batch="M1", step="collect", count=24, join=["M1/1"])
    assert years(journal)[2026][2] == 36


def test_a_lot_parted_and_joined_in_the_stock_is_counted_once():
    journal = Journal(farm_of(PLANTS))
    journal.tell("done", SINCE, batch="M1", step="collect", count=31)
    [held] = journal.stock.of("M1")
    at = {"lot": "M1", "form": held.form, "grade": "", "place": held.place}
    journal.tell("split", SINCE, **at, count=10, into="M1/1")
    assert years(journal)[2026][2] == 31
    journal.tell("join", SINCE, lot="M1/1", into="M1")
    assert years(journal)[2026][2] == 31


def test_seed_received_as_collected_counts_too_but_not_what_was_bought_or_weighed():
    journal = Journal(farm_of(PLANTS))
    what = {"species": "Fictus montana", "form": "seed", "place": "north bed"}
    journal.tell("receive", SINCE, lot="S1", **what, count=9, origin="collected")
    journal.tell("receive", SINCE, lot="S2", **what, count=80, origin="bought")
    journal.tell("receive", SINCE, lot="S3", **what, count=70, origin="collected", unit="g")
    journal.tell("receive", SINCE, lot="S4", **{**what, "form": "liner"}, count=5, origin="collected")
    assert taken_by_year(journal.farm, journal.watched()) == {SEED: {2026: {"S1": 9}}}
    [one] = histories(journal)
    assert one.years[0].lots == ("S1",)


def test_a_plant_of_which_no_stock_plants_are_kept_has_no_history():
    journal = Journal()
    journal.tell("done", SINCE, batch="M1", step="collect", count=31)
    assert histories(journal) == ()


def test_the_trace_of_a_lot_tells_what_its_stock_plants_gave():
    journal = Journal(farm_of(PLANTS))
    journal.tell("done", SINCE, batch="M1", step="collect", count=31)
    assert trace(journal.farm, journal.watched(), "M1").gave == ((2026, "seed", 31, 36.0),)
