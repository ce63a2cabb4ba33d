"""Batches that are entries: what is added, what may be changed, what is refused, and one rule for the protocol."""

from __future__ import annotations

import itertools
from datetime import date, timedelta

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from engine.acts.action import Action, Refused
from engine.acts.batches import KEEP, BatchChange, NewBatch, change_batch, free_id, new_batch
from engine.farm.model import Farm
from engine.farm.protocols import ways_of
from engine.farm.reading import read_document
from engine.journal.entry import Entry
from engine.records.records import apply
from engine.records.words import said
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import plan_lot
from tests.engine.records.desk import Desk
from tests.engine.schedule.farms import COLD_THEN_SOW, HEAD, NORTH, entry, farm, lot_of

TODAY = date(2026, 11, 20)
HOME = farm(COLD_THEN_SOW, start="2026-12-01")
ELDER = NewBatch("E27", "American elder", "hardwood cutting", 120, start=date(2026, 12, 1))


@pytest.fixture
def desk() -> Desk:
    desk = Desk(HOME, TODAY)
    desk.take(new_batch(desk.nursery, ELDER, TODAY))
    return desk


def refusal(wanted: NewBatch, nursery: Nursery) -> str:
    with pytest.raises(Refused) as caught:
        new_batch(nursery, wanted, TODAY)
    return f"{caught.value} | {caught.value.hint}"


def from_file(batch: str, more: str = "") -> Farm:
    text = NORTH + more + HEAD + COLD_THEN_SOW + batch
    reading = read_document(tomli.loads(text), text, "by-file.toml")
    assert not reading.problems, [p.message for p in reading.problems]
    assert reading.farm is not None
    return reading.farm


# -- a batch added


def test_the_entry_holds_the_settled_names_and_only_what_was_said(desk: Desk):
    assert desk.entries[0].data == {
        "batch": "E27", "species": "Sambucus canadensis", "method": "hardwood cutting", "count": 120,
        "start": "2026-12-01",
    }  # fmt: skip
    assert said(desk.entries[0]) == (
        "E27: new batch, 120 Sambucus canadensis, hardwood cutting, from 1 Dec 26 (20 Nov)"
    )


def test_an_added_batch_is_a_lot_of_the_farm_with_its_species_marks_and_a_name_in_the_book(desk: Desk):
    records = desk.records
    assert records.strays == ()
    assert [(lot.id, lot.count) for lot in records.lots] == [("B", 240), ("E27", 120)]
    assert desk.nursery.farm.species_of("Sambucus canadensis").common[0] == "American elder"
    assert records.stock.names["E27"].species == "Sambucus canadensis"
    assert HOME.batches == tuple(b for b in desk.nursery.farm.batches if b.id == "B")  # the file's farm is untouched


@pytest.mark.parametrize(
    ("species", "method", "route"),
    [
        ("American elder", "hardwood cutting", ""),
        ("sambucus CANADENSIS", "Hardwood Cutting", ""),
        ("hazel", "seed", "held cold, sown in spring"),
        ("hazel", "seed", "autumn sown under mesh"),
        ("Malus domestica", "T-bud", ""),
        ("Arbor ficta", "seed", ""),
    ],
)
def test_the_same_words_give_the_same_plan_from_the_file_and_from_the_journal(species: str, method: str, route: str):
    words = f'[[batch]]\nid = "N"\nspecies = "{species}"\nmethod = "{method}"\ncount = 90\nstart = 2026-12-01\n'
    home = from_file(words + (f'route = "{route}"\n' if route else ""))
    by_file = plan_lot(open_nursery(home, apply(home, ())), lot_of(apply(home, ()), "N"), TODAY)
    desk = Desk(HOME, TODAY)
    desk.take(new_batch(desk.nursery, NewBatch("N", species, method, 90, date(2026, 12, 1), route=route), TODAY))
    by_entry = plan_lot(desk.nursery, lot_of(desk.records, "N"), TODAY)
    assert by_entry.chain.protocol == by_file.chain.protocol
    assert by_entry.now.aims == by_file.now.aims


def test_what_the_farm_changes_in_a_protocol_holds_for_an_added_batch_too():
    own = '[[protocol]]\nspecies = "elder"\nmethod = "hardwood cutting"\n'
    own += '[[protocol.step]]\ndo = "stick"\nsurvive = 0.11\n'
    desk = Desk(from_file("", own), TODAY)
    ways = ways_of(desk.home, "Sambucus nigra")
    assert any(step.survive == 0.11 for way in ways for step in way.steps)
    desk.take(new_batch(desk.nursery, NewBatch("N", "elder", "hardwood cutting", 90, date(2026, 12, 1)), TODAY))
    [stick] = [s for s in lot_of(desk.records, "N").batch.protocol.steps if s.do == "stick"]
    assert stick.survive == 0.11


def test_the_dates_already_found_are_kept_when_a_batch_is_added(desk: Desk):
    before = desk.nursery
    plan_lot(before, lot_of(desk.records, "B"), TODAY)
    desk.take(
        new_batch(
            before, NewBatch("H27", "hazel", "seed", 50, date(2026, 12, 1), route="held cold, sown in spring"), TODAY
        )
    )
    after = desk.nursery
    assert after._chains is before._chains
    plan = plan_lot(after, lot_of(after.records, "H27"), TODAY)
    again = plan_lot(open_nursery(HOME, apply(HOME, desk.entries)), lot_of(after.records, "H27"), TODAY)
    assert plan.now.aims == again.now.aims


def test_the_farm_that_has_grown_may_be_given_for_the_one_of_the_file(desk: Desk):
    grown = desk.nursery.farm
    assert apply(grown, desk.entries).lots == apply(HOME, desk.entries).lots
    assert apply(grown, ()).lots == apply(HOME, ()).lots
    assert apply(grown, desk.entries).strays == ()


# -- what is refused


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"id": " "}, "such as E27"),
        ({"id": "B"}, '"B" is already taken'),
        ({"id": "b"}, '"B" is already taken'),
        ({"id": "e27"}, '"E27" is already taken'),
        ({"species": "Amercan elder"}, 'did you mean "American elder"?'),
        ({"species": ""}, "needs a species"),
        ({"species": "zzz"}, 'species "zzz" is not known'),
        ({"species": "hazel Webb"}, 'species "hazel", cultivar "Webb"'),
        ({"method": "hardwod cutting"}, 'did you mean "hardwood cutting"?'),
        ({"method": ""}, "raised by hardwood cutting"),
        ({"species": "hazel", "method": "seed", "route": "autum sown under mesh"}, '"autumn sown under mesh"?'),
        ({"route": "by night"}, "leave route out"),
        ({"count": 0}, "from 1 to 10,000,000"),
        ({"count": -4}, "from 1 to 10,000,000"),
        ({"count": 10_000_001}, "from 1 to 10,000,000"),
        ({"start": None}, "a start or a ready date"),
        ({"ready": date(2026, 11, 19)}, "is before start"),
        ({"start": date(1026, 12, 1)}, "lies outside the years"),
        ({"place": "cold stroe"}, 'did you mean "cold store"?'),
    ],
)
def test_a_batch_that_cannot_be_is_refused_with_the_reason(desk: Desk, changed: dict[str, object], told: str):
    asked = {"id": "N", "species": "American elder", "method": "hardwood cutting", "count": 9, "start": TODAY}
    assert told in refusal(NewBatch(**{**asked, **changed}), desk.nursery)


def test_an_id_that_lots_of_the_stock_bear_is_refused(desk: Desk):
    more = {"species": "Arbor ficta", "form": "liner", "place": "yard", "count": 5, "origin": "bought"}
    desk.entries.append(Entry("x", "2026-11-20T07:00:00+00:00", TODAY, "receive", {"lot": "L7", **more}))
    assert '"L7" is already taken' in refusal(NewBatch("l7", "hazel", "seed", 9, TODAY), desk.nursery)


def test_an_id_that_is_free_is_offered(desk: Desk):
    assert free_id(desk.nursery, "elder", TODAY) == "E26"
    assert free_id(desk.nursery, "elder", date(2027, 3, 1)) == "E27b"
    assert free_id(desk.nursery, "American elder", date(2027, 3, 1)) == "AE27"
    assert free_id(desk.nursery, "½", date(2027, 3, 1)) == "B27"


# -- changes


def test_count_dates_and_cultivar_change_before_a_batch_starts(desk: Desk):
    desk.take(change_batch(desk.nursery, "E27", TODAY, BatchChange(count=80, cultivar=" Adams ")))
    desk.take(change_batch(desk.nursery, "E27", TODAY, BatchChange(start=None, ready=date(2028, 4, 15))))
    records = desk.records
    lot = lot_of(records, "E27")
    assert (lot.count, lot.batch.count, lot.batch.cultivar) == (80, 80, "Adams")
    assert (lot.batch.start, lot.batch.ready) == (None, date(2028, 4, 15))
    assert records.stock.names["E27"].cultivar == "Adams"
    assert desk.entries[1].data == {"batch": "E27", "count": 80, "cultivar": "Adams"}
    assert said(desk.entries[1]) == "E27: now 80 of it, cultivar Adams (20 Nov)"
    assert said(desk.entries[2]) == "E27: now no start date, by 15 Apr 28 (20 Nov)"


def test_a_batch_of_the_farm_file_changes_too_and_the_file_stands(desk: Desk):
    desk.take(change_batch(desk.nursery, "B", TODAY, BatchChange(start=date(2027, 1, 10))))
    assert lot_of(desk.records, "B").batch.start == date(2027, 1, 10)
    assert desk.nursery.farm.batch("B").start == date(2027, 1, 10)
    assert HOME.batch("B").start == date(2026, 12, 1)
    desk.undo()
    assert lot_of(desk.records, "B").batch.start == date(2026, 12, 1)


def test_what_has_started_cannot_be_changed_and_the_refusal_says_by_what(desk: Desk):
    desk.take(Action("done", TODAY, {"batch": "E27", "step": "collect", "count": 118}))
    with pytest.raises(Refused, match="collect was done on 2026-11-20"):
        change_batch(desk.nursery, "E27", TODAY, BatchChange(count=80))


def test_what_was_given_up_and_what_was_parted_cannot_be_changed(desk: Desk):
    desk.take(Action("done", TODAY, {"batch": "E27", "step": "collect", "count": 20, "left": 100, "part": "E27/1"}))
    with pytest.raises(Refused, match="a part of E27"):
        change_batch(desk.nursery, "E27/1", TODAY, BatchChange(count=10))
    desk.take(Action("drop", TODAY, {"batch": "B"}))
    with pytest.raises(Refused, match="dropped"):
        change_batch(desk.nursery, "B", TODAY, BatchChange(count=10))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"count": 0}, "from 1 to"),
        ({"start": None}, "a start or a ready date"),
        ({"ready": date(2026, 11, 1)}, "is before start"),
        ({"count": 120}, "nothing about E27 would change"),
        ({}, "nothing about E27 would change"),
    ],
)
def test_a_change_that_cannot_be_is_refused(desk: Desk, change: dict[str, object], told: str):
    with pytest.raises(Refused, match=told):
        change_batch(desk.nursery, "E27", TODAY, BatchChange(**change))


def test_a_misspelt_batch_is_refused_with_the_near_one(desk: Desk):
    with pytest.raises(Refused) as caught:
        change_batch(desk.nursery, "E72", TODAY, BatchChange(count=1))
    assert "E27" in caught.value.hint


# -- what the journal says when it is read


def test_an_id_of_the_farm_file_stays_the_files_and_the_entry_is_told():
    records = apply(HOME, [entry("2026-11-20", "batch", species="hazel", method="seed", count=9, start="2026-12-01")])
    assert [lot.batch.species for lot in records.lots] == ["Arbor ficta"]
    [stray] = records.strays
    assert "batch B: there is already a batch with that id" in stray


def test_undo_takes_the_batch_away_and_what_is_told_of_it_is_a_stray(desk: Desk):
    desk.take(Action("note", TODAY, {"batch": "E27", "text": "from the hedge"}))
    desk.take(Action("change", TODAY, {"batch": "E27", "count": 9}))
    desk.take(Action("undo", TODAY, {"of": "desk-0"}))
    records = desk.records
    assert [lot.id for lot in records.lots] == ["B"]
    assert "E27" not in records.stock.names
    assert [kind in stray for kind, stray in zip(("note", "change"), records.strays, strict=True)] == [True, True]
    assert all('no batch is called "E27"' in stray for stray in records.strays)


def test_two_devices_that_add_one_id_give_one_batch_and_a_stray_in_whatever_order_they_are_read(desk: Desk):
    other = Entry("lamp-0", "2026-11-20T08:00:30+00:00", TODAY, "batch", {**desk.entries[0].data, "count": 7})
    records = apply(HOME, [desk.entries[0], other])
    assert lot_of(records, "E27").count == 120
    assert len(records.strays) == 1


def test_a_slow_clock_that_tells_an_act_before_its_batch_loses_nothing(desk: Desk):
    early = Entry("lamp-0", "2026-11-20T07:00:00+00:00", TODAY, "done",
                  {"batch": "E27", "step": "collect", "count": 110})  # fmt: skip
    records = apply(HOME, [early, *desk.entries])
    assert records.strays == ()
    assert lot_of(records, "E27").done["collect"].count == 110


def test_a_change_after_an_act_from_another_device_is_told_and_changes_nothing(desk: Desk):
    desk.take(Action("done", TODAY, {"batch": "E27", "step": "collect", "count": 118}))
    desk.take(Action("change", TODAY, {"batch": "E27", "count": 9}))
    records = desk.records
    assert (lot_of(records, "E27").count, lot_of(records, "E27").batch.count) == (118, 120)
    [stray] = records.strays
    assert "it has started" in stray


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 10**9), st.text(max_size=9), st.floats(allow_nan=False),
    st.sampled_from(("E27", "B", "hazel", "Sambucus nigra", "seed", "hardwood cutting", "2026-12-01", "2028-02-30")),
    st.lists(st.integers(), max_size=2), st.dictionaries(st.text(max_size=4), st.text(max_size=4), max_size=2),
)  # fmt: skip
KEYS = (
    "batch", "species", "cultivar", "method", "route", "count", "start", "ready", "place", "note", "places", "came",
    "rootstock",
)  # fmt: skip


@given(st.sampled_from(("batch", "change")), st.dictionaries(st.sampled_from(KEYS), VALUES))
def test_whatever_such_an_entry_holds_it_is_a_batch_or_a_stray_and_the_rest_stands(kind: str, data: dict[str, object]):
    odd = Entry("odd-1", "2026-11-20T08:00:00+00:00", TODAY, kind, data)
    records = apply(HOME, [odd])
    lots = [lot.id for lot in records.lots]
    if kind == "batch":
        assert (len(lots) == 2) != bool(records.strays)
    else:
        assert lots == ["B"]
    for lot in records.lots:
        assert lot.count >= 1
        plan_lot(open_nursery(HOME, records), lot, TODAY)


@given(st.permutations(range(4)))
def test_batches_are_the_same_in_whatever_order_different_ones_are_added(order: list[int]):
    added = [
        Entry(f"d-{n}", f"2026-11-20T08:0{n}:00+00:00", TODAY, "batch",
              {"batch": f"N{n}", "species": "hazel", "method": "seed", "count": n + 1, "start": "2026-12-01"})
        for n in range(4)
    ]  # fmt: skip
    records = apply(HOME, [added[n] for n in order])
    assert {lot.id: lot.count for lot in records.lots} == {"B": 240, "N0": 1, "N1": 2, "N2": 3, "N3": 4}
    protocols = [lot.batch.protocol for lot in records.lots if lot.id != "B"]
    assert all(one is other for one, other in itertools.pairwise(protocols))  # found once, so dated once


def test_keep_leaves_each_as_it_is(desk: Desk):
    later = TODAY + timedelta(30)
    action = change_batch(desk.nursery, "E27", TODAY, BatchChange(count=KEEP, start=later, ready=KEEP, cultivar=KEEP))
    assert action.data == {"batch": "E27", "start": later.isoformat()}
