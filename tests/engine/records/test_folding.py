"""Going on from what stood gives what taking everything gives: entries at the end, late ones, undos, corrections."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import timedelta

import pytest

from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.reading import log
from engine.records import folding, layers
from engine.records.records import Records, apply, records_on
from tests.engine.records.farms import TODAY, farm_of
from tests.engine.records.test_arrival import FARM, season
from tests.fuzz import budget
from tests.tui.fuzz.test_journals import any_entry

BACK = (1, 3, 9)
"""States are kept so near the end here, for the histories are short."""


def histories(seed: int) -> Iterator[tuple[Entry, ...]]:
    """A journal as it comes to be: entry by entry, with late ones, undos, corrections, and some that fit nothing."""
    chance = random.Random(seed)
    every = [entry for device in season(seed) for entry in device.known.values()]
    every += [any_entry(chance, n) for n in range(chance.randrange(8))]
    every = sorted({entry.id: entry for entry in every}.values(), key=lambda each: (each.at, each.id))
    here: list[Entry] = []
    while every:
        for _ in range(chance.randint(1, 4)):
            if every:
                late = chance.random() < 0.3
                here.append(every.pop(chance.randrange(len(every)) if late else 0))
        if chance.random() < 0.3:
            here.append(a_batch(chance, len(here)))
        if chance.random() < 0.1:
            here.append(a_setting(chance, len(here)))
        if here and chance.random() < 0.4:
            meant, last = chance.choice(here[-6:]), here[-1]
            data = {"of": meant.id}
            kind = chance.choice(("undo", "correct"))
            if kind == "correct":
                data |= {"now": {"count": chance.randint(1, 60)}, "day": TODAY.isoformat()}
            here.append(Entry(f"office-{len(here):06x}-999999", last.at, TODAY, kind, data))
        here.sort(key=lambda each: (each.at, each.id))
        yield standing(here)


def a_batch(chance: random.Random, n: int) -> Entry:
    """A batch that is begun, now and then under a name that was given before; or a word about one."""
    name, device = chance.choice(("N1", "N2", "N3", "Z1", "Z1/1", "N1/1", "")), chance.choice(("office", "lamp"))
    data: dict[str, object] = {"batch": name}
    if batch := chance.random() < 0.8:
        data |= {"species": "Fictus ripensis", "method": "seed", "count": chance.choice((20, 20, 0)),
                 "start": "2027-01-20"}  # fmt: skip
    return Entry(
        f"{device}-{n:06x}-777777", f"2027-01-18T13:{n % 60:02}:00+00:00", TODAY, "batch" if batch else "note", data
    )


SETTINGS: tuple[tuple[str, dict[str, object]], ...] = (
    ("place", {"place": "sand bed", "now": {"under_cover": True, "serves": ["cold store"]}}),
    ("place", {"place": "north bed", "now": {"room": ["40 trays"]}}),
    ("place", {"place": "north bed", "now": {"room": ["plenty"]}}),
    ("hours", {"now": 12, "was": None}),
    ("hours", {"now": {"jan": 6, "apr": 20}}),
    ("price", {"item": "rootstock", "now": {"each": 1.5}}),
    ("change", {"batch": "N1", "places": {"cold store": "sand bed"}}),
    ("change", {"batch": "N2", "method": "hardwood cutting"}),
)


def a_setting(chance: random.Random, n: int) -> Entry:
    """A place, a price or the hours, set; or a batch that goes another way."""
    kind, data = chance.choice(SETTINGS)
    return Entry(f"lamp-{n:06x}-555555", f"2027-01-18T12:{n % 60:02}:30+00:00", TODAY, kind, {**data})


def alike(found: Records, wanted: Records) -> None:
    assert found == wanted
    assert [*found.stock.flows] == [*wanted.stock.flows]
    assert [*found.rows] == [*wanted.rows]
    assert {**found.bears} == {**wanted.bears}
    assert {**found.stock.names} == {**wanted.stock.names}
    assert [*found.stock.since.items()] == [*wanted.stock.since.items()]
    assert [*found.stock.movements] == [*wanted.stock.movements]


@pytest.mark.parametrize("part", range(4))
def test_going_on_from_what_stood_gives_what_taking_everything_gives(part, monkeypatch):
    monkeypatch.setattr(folding, "_BACK", BACK)
    monkeypatch.setattr(layers, "MOST_ON_TOP", 4)
    monkeypatch.setattr(log, "MOST_ON_TOP", 4)
    for seed in range(part, budget(60, 4_000), 4):
        quick = apply(FARM, (), watch=None, keep=True)
        earlier = [(quick, ())]
        for entries in histories(seed):
            quick = apply(FARM, entries, watch=None, before=quick)
            alike(quick, apply(FARM, entries, watch=None))
            then, known = random.Random(len(entries)).choice(earlier)
            alike(apply(FARM, entries, watch=None, before=then), quick)
            alike(then, apply(FARM, known, watch=None))  # what was kept has not changed under it
            earlier.append((quick, entries))


def test_a_batch_that_nothing_named_yet_is_put_in_and_taken_out_as_it_is(monkeypatch):
    taken: list[Entry] = []
    real = folding.State.take
    monkeypatch.setattr(folding.State, "take", lambda self, entry: (taken.append(entry), real(self, entry))[1])
    entries = [Entry(f"shed-{n:06x}", "2027-01-18T12:00:00+00:00", TODAY, "note", {"batch": "Z1", "text": "x"})
               for n in range(40)]  # fmt: skip
    data = {"batch": "N1", "species": "Fictus ripensis", "method": "seed", "count": 20, "start": "2027-01-20"}
    batch = Entry("shed-000100", "2027-01-18T12:10:00+00:00", TODAY, "batch", data)
    before = apply(FARM, entries, keep=True)
    taken.clear()
    now = apply(FARM, [*entries, batch], before=before)
    assert taken == [batch]
    assert now.lot("N1") is not None
    taken.clear()
    after = apply(FARM, [*entries, Entry("shed-000101", batch.at, TODAY, "undo", {"of": batch.id})], before=now)
    assert len(taken) < 20
    assert after.lot("N1") is None
    note = Entry("shed-000102", batch.at, TODAY, "note", {"batch": "N1", "text": "told before it was begun"})
    early = apply(FARM, [*entries, note], before=before)
    taken.clear()
    found = apply(FARM, [*entries, note, batch], before=early)  # it is heeded all the same
    assert len(taken) > 2
    alike(found, apply(FARM, [*entries, note, batch]))
    lot = found.lot("N1")
    assert lot is not None
    assert [text for _, text in lot.notes] == ["told before it was begun"]


def test_what_is_set_takes_only_what_was_told_of_places_that_are_others_now(monkeypatch):
    taken: list[Entry] = []
    real = folding.State.take
    monkeypatch.setattr(folding.State, "take", lambda self, entry: (taken.append(entry), real(self, entry))[1])
    entries = [Entry(f"shed-{n:06x}", "2027-01-18T12:00:00+00:00", TODAY, "note", {"batch": "Z1", "text": "x"})
               for n in range(38)]  # fmt: skip
    told = {"batch": "Z1", "step": "stratify cold", "count": 20, "place": "the loft"}
    entries.append(Entry("shed-000050", "2027-01-18T12:00:00+00:00", TODAY, "done", told))
    before = apply(FARM, entries, keep=True)
    for kind, data, all_of_it in (
        ("hours", {"now": 12}, False),
        ("price", {"item": "rootstock", "now": {"each": 1.5}}, False),
        ("place", {"place": "cold store", "now": {"room": ["40 trays"]}}, False),
        ("place", {"place": "a new bed", "now": {"serves": ["seed beds"]}}, False),
        ("place", {"place": "a new store", "now": {"serves": ["the loft"]}}, True),
    ):
        entry = Entry("shed-000100", "2027-01-18T12:10:00+00:00", TODAY, kind, data)
        taken.clear()
        found = apply(FARM, [*entries, entry], before=before)
        assert (len(taken) > 1) == all_of_it, data
        alike(found, apply(FARM, [*entries, entry]))


def test_a_new_entry_at_the_end_is_all_that_is_taken(monkeypatch):
    taken: list[Entry] = []
    real = folding.State.take
    monkeypatch.setattr(folding.State, "take", lambda self, entry: (taken.append(entry), real(self, entry))[1])
    entries = [Entry(f"shed-{n:06x}", "2027-01-18T12:00:00+00:00", TODAY, "note", {"batch": "Z1", "text": "x"})
               for n in range(50)]  # fmt: skip
    records = apply(FARM, entries[:-2], keep=True)
    taken.clear()
    records = apply(FARM, entries[:-1], before=records)
    assert taken == [entries[48]]
    taken.clear()
    assert apply(FARM, entries[:-1], before=records) is records
    assert not taken
    without = apply(FARM, [*entries[:40], *entries[41:49]], before=records)
    assert len(taken) < 20
    assert [text for lot in without.lots for _, text in lot.notes] == ["x"] * 48


def test_the_records_of_a_day_leave_out_what_is_told_of_a_later_one():
    entries = tuple(Entry(f"shed-{n:06x}", "2027-01-18T12:00:00+00:00", TODAY + timedelta(n), "note",
                          {"batch": "Z1", "text": str(n)}) for n in range(3))  # fmt: skip
    records = apply(FARM, entries, keep=True)
    for day in range(-1, 4):
        on = TODAY + timedelta(day)
        found = records_on(FARM, records, entries, on)
        alike(found, apply(FARM, [entry for entry in entries if entry.on <= on]))
        assert (found is records) == (day >= 2)


def test_another_farm_file_is_taken_from_the_start():
    other, records = farm_of(), apply(FARM, [], keep=True)
    assert apply(other, [], before=records) == apply(other, [])
    assert apply(other, [], before=records).farm is other
