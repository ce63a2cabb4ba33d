"""What two devices record before either has read the other: one answer, the same on both, and told."""

from __future__ import annotations

from datetime import date

import pytest

from engine.acts.free_ids import first_free, mark_of, new_lot
from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.records.makers import refer
from engine.records.records import Records, apply
from tests.engine.records.farms import TODAY, adds_up, entry, farm_of, held

BATCH = {"species": "Fictus ripensis", "method": "seed", "count": 60, "start": "2026-12-01"}
LOT = {"form": "liner", "place": "north bed"}


def records(*entries: Entry) -> Records:
    found = apply(farm_of(), standing(sorted(entries, key=lambda each: each.at)))
    adds_up(found.stock)
    return found


def test_what_refers_to_a_refused_batch_is_refused_with_it():
    one = entry(1, "batch", device="office", batch="H27", **BATCH)
    other = entry(2, "batch", device="shed", batch="H27", **{**BATCH, "species": "Fictus montana"})
    done = entry(3, "done", device="shed", batch="H27", step="collect", count=60)
    found = records(one, other, done)
    lot = found.lot("H27")
    assert lot is not None
    assert (lot.batch.species, dict(lot.done)) == ("Fictus ripensis", {})
    assert len(found.strays) == 2
    assert 'the "H27" that it means was refused' in found.strays[1]
    mine = entry(4, "done", device="office", batch="H27", step="soak", count=60)
    assert "soak" in records(one, other, done, mine).lots[-1].done


def test_an_entry_says_which_it_means_so_that_a_third_device_is_read_aright():
    one = entry(1, "batch", device="office", batch="H27", **BATCH)
    other = entry(2, "batch", device="shed", batch="H27", **{**BATCH, "species": "Fictus montana"})
    of_shed = records(other).bears
    told = entry(3, "note", device="barn", **refer("note", {"batch": "H27", "text": "for the shed's"}, of_shed))
    assert told.data["made"] == {"H27": other.id}
    found = records(one, other, told)
    assert found.lot("H27").notes == ()  # type: ignore[union-attr]
    known = entry(4, "note", device="shed", **refer("note", {"batch": "H27", "text": "seen"}, found.bears))
    assert records(one, other, told, known).lot("H27").notes == ((TODAY, "seen"),)  # type: ignore[union-attr]


def test_a_lot_received_on_two_devices_under_one_id():
    one = entry(1, "receive", device="office", lot="L1", species="Fictus ripensis", count=40, **LOT)
    other = entry(2, "receive", device="shed", lot="L1", species="Fictus montana", count=30, **LOT)
    sold = entry(3, "sell", device="shed", lot="L1", count=25, **LOT)
    found = records(one, other, sold)
    assert held(found.stock)["L1", "liner", "", "north bed"] == 40
    assert len(found.strays) == 2
    same = entry(2, "receive", device="shed", lot="L1", species="Fictus ripensis", count=30, **LOT)
    assert held(records(one, same, sold).stock)["L1", "liner", "", "north bed"] == 45


def test_parts_made_on_two_devices_under_one_id_keep_what_is_told_of_each():
    half = {"batch": "Z1", "step": "soak", "count": 40, "left": 60, "part": "Z1/1"}
    one = entry(1, "done", device="office", **half)
    other = entry(
        2, "split", device="shed", lot="P1", form="1 L pot", grade="", place="standing ground", count=9, into="Z1/1"
    )
    note = entry(3, "note", device="shed", batch="Z1/1", text="the shed's")
    found = records(one, other, note)
    assert found.lot("Z1/1").notes == ()  # type: ignore[union-attr]
    assert len(found.strays) == 2


def test_a_need_of_one_id_on_two_devices():
    wanted = {"need": "FAIR2", "species": "Fictus ripensis", "count": 20, "by": "2027-04-10"}
    one, other = entry(1, "need", device="office", **wanted), entry(2, "need", device="shed", **{**wanted, "count": 7})
    gone = entry(3, "withdraw", device="shed", need="FAIR2")
    found = records(one, other, gone)
    assert found.farm is not None
    assert [need.count for need in found.farm.needs if need.id == "FAIR2"] == [20]
    assert len(found.strays) == 2


@pytest.mark.parametrize("first", ["drop", "work"])
def test_a_lot_dropped_on_one_device_and_worked_on_at_another_has_one_answer(first: str):
    when = {"drop": (1, 2), "work": (2, 1)}[first]
    drop = entry(when[0], "drop", device="office", batch="Z1", reason="mice")
    done = entry(when[1], "done", device="shed", batch="Z1", step="soak", count=90)
    cold = entry(3, "done", device="shed", batch="Z1", step="stratify cold", count=90)
    sown = entry(4, "done", device="shed", batch="Z1", step="sow", count=80)
    found = records(drop, done, cold, sown)
    lot = found.lot("Z1")
    assert lot is not None
    assert lot.given_up == TODAY
    assert [h for h in found.stock.holdings if h.lot == "Z1"] == []
    told = [stray for stray in found.strays if "it was dropped on 2027-01-18; undo that" in stray]
    assert len(told) == (3 if first == "drop" else 2)
    undone = records(drop, done, cold, sown, entry(9, "undo", device="office", of=drop.id))
    assert [h.count for h in undone.stock.holdings if h.lot == "Z1"] == [80]
    assert undone.strays == ()


def test_ids_that_are_offered_carry_the_device_where_another_gives_ids_too():
    note = {"kind": "note", "batch": "Z1", "text": "dry"}
    alone = [entry(1, device="shed", **note), entry(2, device="demo", **note)]
    assert mark_of(alone, "shed") == ""
    both = [*alone, entry(3, device="office", **note)]
    assert (mark_of(both, "shed"), mark_of(both, "office")) == ("shed", "office")
    stock = records(*both).stock
    assert [new_lot(stock, mark=mark) for mark in ("", "shed", "office")] == ["L1", "L1-shed", "L1-office"]
    assert first_free("AE27", {"ae27-shed"}, "shed") == "AE27b-shed"


def test_nothing_more_comes_to_a_lot_that_another_device_gave_up():
    """Found by the arrivals: plants received under the id of a dropped batch stood free while it was dropped."""
    batch = entry(1, "batch", device="office", batch="H27", **BATCH)
    drop = entry(2, "drop", device="office", batch="H27", reason="mice")
    came = entry(3, "receive", device="shed", lot="H27", species="Fictus ripensis", count=38, **LOT)
    found = records(batch, drop, came)
    assert not [h for h in found.stock.holdings if h.lot == "H27"]
    assert "dropped" in found.strays[0]
    again = entry(4, "drop", device="barn", batch="H27", reason="frost")
    assert "already" in records(batch, drop, again).strays[0]


@pytest.mark.parametrize("acts", [(), ("soak",), ("soak", "stratify cold")])
def test_what_is_counted_of_a_lot_that_was_given_up_goes_on(acts: tuple[str, ...]):
    """Found by the arrivals: it stood free and stayed given up where nothing of it had been there before."""
    done = [entry(n, "done", device="office", batch="Z1", step=step, count=90) for n, step in enumerate(acts, 1)]
    drop = entry(5, "drop", device="office", batch="Z1", reason="mice")
    count = entry(6, "count", device="shed", lot="Z1", form="seed", grade="", place="north bed", count=46)
    found = records(*done, drop, count)
    lot = found.lot("Z1")
    assert lot is not None
    assert (lot.given_up, lot.count) == (None, 46)
    assert [h.count for h in found.stock.holdings if h.lot == "Z1"] == [46]


def test_a_mark_or_a_place_that_has_another_name_now_is_told():
    found = records(
        entry(1, "saw", mark="lilac out"),
        entry(2, "outage", place="cellar", days=3, temperature_c=12),
        entry(3, "saw", mark="leaf drop", on=date(2026, 11, 1)),
        entry(4, "outage", place="cold store", days=3, temperature_c=12),
    )
    assert [stray.split(": ")[0] for stray in found.strays] == ["2027-01-18 saw lilac out", "2027-01-18 outage cellar"]
    assert all("so it has no effect" in stray for stray in found.strays)


def test_a_batch_of_the_journal_with_the_id_of_a_lot_in_stock_is_told():
    found = records(entry(1, "batch", batch="P1", **BATCH))
    assert len(found.strays) == 1
    assert held(found.stock)["P1", "1 L pot", "", "standing ground"] == 50
