"""A lot back to where it came from and forward to where it went; the ledger; the inspection; the map of the beds."""

from __future__ import annotations

from datetime import date

import pytest

from engine.views.beds import bed_rows, disagreements
from engine.views.lot_ledger import by_lot, ledger
from engine.views.trace import DISPATCHED, inspection, trace
from tests.engine.records.farms import Journal, farm_of, held

AT = {"form": "liner", "grade": "", "place": "north bed"}


@pytest.fixture
def journal() -> Journal:
    """L1 was bought, split twice; a part was joined to L2, which was sold in part."""
    told = Journal()
    plant = {"species": "Fictus montana", "cultivar": "", "form": "liner", "place": "north bed"}
    told.tell("receive", date(2026, 3, 1), lot="L1", **plant, count=100, origin="bought", **{"from": "Hale"})
    told.tell("receive", date(2026, 3, 2), lot="L2", **plant, count=20, origin="swapped", **{"from": "Orme"})
    told.tell("split", date(2026, 4, 1), lot="L1", **AT, count=40, into="L1/1")
    told.tell("split", date(2026, 5, 1), lot="L1/1", **AT, count=10, into="L1/1/1")
    told.tell("join", date(2026, 6, 1), lot="L1/1/1", into="L2")
    told.tell("sell", date(2027, 1, 3), lot="L2", **AT, count=25, to="the hall")
    told.tell("lose", date(2027, 1, 4), lot="L1", **AT, count=5, cause="voles")
    return told


def test_a_lot_is_traced_back_over_splits_to_where_it_was_bought(journal: Journal):
    found = trace(journal.farm, journal.watched(), "L1/1/1")
    assert found.back == ("L1/1", "L1")
    assert [(m.source, m.told, m.count) for m in found.came] == [("bought", "Hale", 100)]


def test_a_lot_is_traced_forward_over_splits_and_joins_to_whom_it_was_sold(journal: Journal):
    found = trace(journal.farm, journal.watched(), "L1")
    assert set(found.forward) == {"L1/1", "L1/1/1", "L2"}
    assert [(m.target, m.told, m.count) for m in found.went] == [("sold", "the hall", 25), ("lost", "voles", 5)]
    assert {h.lot: h.count for h in found.on_hand} == {"L1": 55, "L1/1": 30, "L2": 5}
    assert [(m.source[0], m.target[0], m.count) for m in found.passed] == [
        ("L1", "L1/1", 40), ("L1/1", "L1/1/1", 10), ("L1/1/1", "L2", 10),
    ]  # fmt: skip


def test_a_lot_that_took_of_two_is_traced_back_to_both(journal: Journal):
    found = trace(journal.farm, journal.watched(), "L2")
    assert {m.told for m in found.came} == {"Hale", "Orme"}
    assert {m.target for m in found.went} == {"sold"}


def test_a_propagated_lot_is_traced_to_its_batch_and_the_stock_plants_kept_for_it():
    mothers = '\n[[stock_plant]]\nid = "figs"\nspecies = "Fictus montana"\ncount = 3\nmaterial = "seed"\nyields = 20\n'
    other = mothers.replace("figs", "cut figs").replace("seed", "cuttings")
    journal = Journal(farm_of(mothers + other))
    journal.tell("done", date(2026, 11, 5), batch="M1", step="collect", count=40)
    journal.tell("done", date(2027, 1, 5), batch="M1", step="sow", count=12, left=10, part="M1/1")
    found = trace(journal.farm, journal.watched(), "M1/1")
    assert [batch.id for batch in found.batches] == ["M1"]
    assert [mother.id for mother in found.stock_plants] == ["figs"]
    assert [m.source for m in found.came] == ["propagated"]


def test_the_ledgers_running_count_ends_at_what_is_on_hand(journal: Journal):
    records = journal.watched()
    moves = by_lot(records.stock.movements)
    for lot in ("L1", "L2", "L1/1", "P1"):
        lines = ledger(moves[lot], lot)
        assert lines == ledger(records.stock.movements, lot)
        assert lines[-1].balance == sum(h.count for h in records.stock.of(lot))
        assert sum(line.change for line in lines) == lines[-1].balance
    assert [line.change for line in ledger(moves["L1"], "L1")] == [100, -40, -5]


def test_the_register_holds_a_years_origins_and_dispatches_by_date(journal: Journal):
    records = journal.watched()
    before, year = inspection(records, 2026), inspection(records, 2027)
    assert [(line.lot, line.count, line.told) for line in before.origins] == [
        ("L1", 100, "bought, Hale"), ("L2", 20, "swapped, Orme"),
    ]  # fmt: skip
    assert before.dispatches == ()
    assert [(line.on, line.lot, line.count) for line in year.dispatches] == [(date(2027, 1, 3), "L2", 25)]
    assert all(line.told.startswith(DISPATCHED) for line in year.dispatches)  # what is lost is not dispatched


def test_the_register_tells_treatments_and_notes_once_though_a_lot_was_parted():
    journal = Journal()
    journal.tell("done", date(2027, 1, 4), batch="Z1", step="soak", count=100)
    journal.tell("note", date(2027, 1, 5), batch="Z1", text="dipped in talc")
    journal.tell("done", date(2027, 1, 6), batch="Z1", step="stratify cold", count=40, left=60, part="Z1/1")
    found = inspection(journal.watched(), 2027)
    assert [(line.on.day, line.told) for line in found.treatments] == [
        (4, "soak"), (5, "note: dipped in talc"), (6, "stratify cold"),
    ]  # fmt: skip
    assert inspection(journal.watched(), 2026).treatments == ()


def test_the_register_keeps_what_was_done_to_a_part_that_was_joined_again():
    journal = Journal()
    journal.tell("done", date(2027, 1, 4), batch="Z1", step="soak", count=40, left=60, part="Z1/1")
    journal.tell("done", date(2027, 1, 6), batch="Z1", step="soak", count=60)
    journal.tell("join", date(2027, 1, 7), lot="Z1/1", into="Z1")
    treated = inspection(journal.watched(), 2027).treatments
    assert [(line.on.day, line.lot, line.count) for line in treated] == [(4, "Z1/1", 40), (6, "Z1", 60)]


def test_a_row_is_told_from_its_fixed_end_and_told_again_it_is_replaced():
    journal = Journal()
    journal.tell("row", place="north bed", row="2", lots=[["P2", 3.5, 30]])
    journal.tell("row", place="north bed", row="10", lots=[["P1", 1.0, 4]])
    journal.tell("row", place="north bed", row="2", lots=[["P1", 2, 12], ["P2", 4.5, 18]])
    rows = bed_rows(journal.nursery())
    assert [(row.name, row.metres) for row in rows] == [("2", 6.5), ("10", 1.0)]
    assert [(s.lot, s.start_m, s.end_m, s.count) for s in rows[0].stretches] == [
        ("P1", 0.0, 2.0, 12), ("P2", 2.0, 6.5, 18),
    ]  # fmt: skip


def test_the_rows_are_held_against_the_book():
    journal = Journal()
    journal.tell("row", place="north bed", row="1", lots=[["P2", 3.5, 20]])
    assert disagreements(journal.nursery()) == ("P2: 20 in the rows of north bed, 30 on record",)
    journal.tell("row", place="north bed", row="2", lots=[["P2", 2, 10]])
    assert disagreements(journal.nursery()) == ()


@pytest.mark.parametrize(
    "lots", [None, "P2", [["P2", 3.5]], [["P2", "x", 3]], [["P2", 1, -3]], [[3, 1, 3]], [["P2", True, 3]]]
)
def test_a_row_that_cannot_be_read_is_told_and_changes_nothing(lots: object):
    journal = Journal()
    journal.tell("row", place="north bed", row="1", lots=lots)
    assert len(journal.records.strays) == 1
    assert journal.records.rows == {}


def test_undoing_a_row_brings_the_earlier_one_back():
    journal = Journal()
    journal.tell("row", place="north bed", row="1", lots=[["P2", 3.5, 20]])
    before = bed_rows(journal.nursery())
    made = journal.tell("row", place="north bed", row="1", lots=[])
    assert bed_rows(journal.nursery())[0].stretches == ()
    journal.tell("undo", of=made.id)
    assert bed_rows(journal.nursery()) == before
    assert held(journal.stock)["P2", "bare root", "first", "north bed"] == 30
