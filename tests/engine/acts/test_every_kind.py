"""Every kind of entry can be corrected in all that it says, by the rules by which it was recorded."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from engine.acts.action import Refused
from engine.acts.correcting import correct, fields_of
from engine.acts.record_again import AGAIN, DAY, GRADES
from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.records.records import Records, apply
from engine.records.words import said
from engine.schedule.nursery import open_nursery
from tests.engine.needs.homes import batch, farm, need, stock

PLANTING = """
[[planting]]
name = "belt"
by = 2026-11-20
[[planting.position]]
id = "P1"
species = "Arbor ficta"
count = 1
understudies = [{species = "Arbor ficta"}]
"""
MOTHERS = '[[stock_plant]]\nid = "row"\nspecies = "Arbor ficta"\ncount = 5\nyields = 10\n'
HOME = farm(
    batch("A", 100), batch("B", 100, "2027-02-01", "seed"), stock("S", 60), stock("T", 40), need("N", 30), need("M", 8),
    PLANTING, MOTHERS,
)  # fmt: skip
ON, TODAY = date(2027, 3, 10), date(2027, 5, 1)
S: dict[str, Any] = {"lot": "S", "form": "bare root", "grade": "", "place": "bed"}
CASES: tuple[tuple[str, dict[str, Any], dict[str, Any]], ...] = (
    ("done", {"batch": "A", "step": "stick", "count": 100}, {"count": 90, "cause": "dry"}),
    ("hold", {"batch": "A", "step": "stick", "reason": "wet"}, {"reason": "too wet"}),
    ("drop", {"batch": "A", "step": "stick", "reason": "wet"}, {"reason": "no room"}),
    ("note", {"batch": "A", "text": "mice"}, {"text": "voles"}),
    ("later", {"batch": "A", "step": "stick", "to": "2027-03-20"}, {"to": "2027-03-22"}),
    ("saw", {"mark": "bud swell"}, {"mark": "soil workable"}),
    ("outage", {"place": "store", "days": 2, "temperature_c": 9.0}, {"days": 3, "temperature_c": 7.5}),
    ("receive", {**S, "lot": "R", "species": "Arbor ficta", "cultivar": "", "count": 20, "origin": "bought"},
     {"count": 21, "grade": "first", "place": "frame"}),
    ("move", {**S, "count": 10, "to": "frame"}, {"count": 12, "to": "store"}),
    ("pot_up", {**S, "count": 10, "to_form": "pot", "to": "bed"}, {"count": 12, "to_form": "2 L pot"}),
    ("grade", {**S, "grades": {"first": 20}}, {"grades": {"first": 25, "culls": 2}}),
    ("sell", {**S, "count": 10, "to": "Ro"}, {"count": 8, "need": "N"}),
    ("give", {**S, "count": 10, "to": "Ro"}, {"to": "Rowan"}),
    ("plant_out", {**S, "count": 10, "to": "hedge"}, {"count": 9}),
    ("lose", {**S, "count": 10, "cause": "mice"}, {"cause": "frost"}),
    ("count", {**S, "count": 55}, {"count": 54, "reason": "counted twice"}),
    ("split", {**S, "count": 10, "into": "S/1"}, {"count": 11}),
    ("join", {"lot": "T", "into": "S"}, {"into": "R2"}),
    ("doubt", {"lot": "S"}, {"reason": "a label is gone"}),
    ("batch",
     {"batch": "C", "species": "Arbor ficta", "method": "hardwood cutting", "count": 50, "start": "2027-10-01"},
     {"method": "seed", "count": 60, "start": "2027-11-01", "note": "for Ro"}),
    ("change", {"batch": "A", "count": 120},
     {"count": 130, "cultivar": "Red", "method": "seed", "route": "", "from": "Ro", "came": "2027-01-05",
      "places": {"store": "frame"}}),
    ("need", {"need": "K", "species": "Arbor ficta", "count": 12, "by": "2028-02-01"},
     {"count": 14, "sure": 0.8, "grade": "first", "who": "Ro"}),
    ("amend", {"need": "N", "count": 40}, {"count": 45, "sure": 0.95}),
    ("withdraw", {"need": "N"}, {"reason": "bought in"}),
    ("packed", {"need": "N", "count": 20}, {"count": 25}),
    ("stock_plant", {"plant": "new row", "species": "Arbor ficta", "count": 4, "planted": 2024},
     {"count": 6, "planted": 2025, "cultivar": "Red"}),
    ("grub_out", {"plant": "row"}, {"reason": "canker"}),
    ("walked", {"planting": "belt", "position": "P1", "state": "dead"}, {"cause": "drought", "note": "dry spring"}),
    ("worked", {"do": "water", "place": "bed"}, {}),
)  # fmt: skip
BEFORE = (
    ("receive", {**S, "lot": "R2", "species": "Arbor ficta", "count": 5, "origin": "bought"}),
)  # fmt: skip


def told(kind: str, data: dict[str, Any]) -> list[Entry]:
    rows = [*BEFORE, (kind, data)]
    return [Entry(f"shed-{n}", f"2027-03-10T08:00:0{n}+00:00", ON, k, d) for n, (k, d) in enumerate(rows)]


def mended(entries: list[Entry], on: date | None, changes: dict[str, Any]) -> tuple[Entry, Records]:
    nursery = open_nursery(HOME, apply(HOME, entries))
    assert not nursery.records.strays
    action, after = correct(nursery, entries, entries[-1].id, TODAY, on, changes)
    made = Entry("shed-9", "2027-05-01T08:00:00+00:00", action.on, action.kind, action.data)
    return after, apply(HOME, standing([*entries, made]))


@pytest.mark.parametrize(("kind", "data", "changes"), CASES, ids=[case[0] for case in CASES])
def test_an_entry_is_then_as_if_it_had_been_recorded_right(kind: str, data: dict[str, Any], changes: dict[str, Any]):
    entries = told(kind, data)
    moved = ON + timedelta(1)
    after, records = mended(entries, moved, changes)
    assert (after.on, {key: after.data[key] for key in changes}) == (moved, changes)
    assert after.data == data | changes  # nothing that was not to be changed is lost
    right = [*entries[:-1], Entry(entries[-1].id, entries[-1].at, moved, kind, after.data)]
    assert records == apply(HOME, right)
    assert said(after)


def test_every_kind_that_can_be_recorded_is_among_them_or_has_only_its_day():
    kinds = {case[0] for case in CASES}
    assert {kind for kind, (fields, _) in AGAIN.items() if fields} - kinds == {"came", "look", "verify"}
    for kind, data, changes in CASES:
        assert set(changes) <= set(fields_of(told(kind, data)[-1]))
    assert {sort for fields, _ in AGAIN.values() for sort in fields.values()} >= {DAY, GRADES}


@pytest.mark.parametrize(
    ("kind", "changes", "why"),
    [
        ("saw", {"mark": "bud swel"}, "bud swel"),
        ("join", {"into": "Q"}, '"Q"'),
        ("batch", {"method": "seeding"}, "seeding"),
        ("amend", {"sure": 2.0}, "200 %|sure"),
        ("amend", {"grade": "culls"}, "culls"),
        ("packed", {"count": 31}, "30"),
        ("stock_plant", {"planted": 3}, "planted"),
        ("walked", {"state": "asleep"}, "asleep"),
        ("change", {"count": 0}, "count"),
        ("outage", {"place": "stove"}, "stove"),
    ],
)
def test_what_could_not_have_been_recorded_is_refused(kind: str, changes: dict[str, Any], why: str):
    data = next(case[1] for case in CASES if case[0] == kind)
    with pytest.raises(Refused, match=why):
        mended(told(kind, data), None, changes)
