"""What a correction says stands in the place of its entry; what was written stays."""

from __future__ import annotations

from datetime import date
from itertools import permutations
from typing import Any

import pytest

from engine.journal.corrections import correction_of
from engine.journal.entry import Entry, parse, to_line
from engine.journal.store import standing

DAY = date(2027, 3, 8)
STUCK = Entry("a", "2027-03-08T09:00:00Z", DAY, "done", {"batch": "E27", "step": "stick", "count": 90, "cause": "torn"})


def correction(name: str, of: str = "a", hour: int = 10, **data: Any) -> Entry:
    return Entry(name, f"2027-03-08T{hour:02}:00:00Z", DAY, "correct", {"of": of, **data})


def undo(name: str, of: str) -> Entry:
    return Entry(name, "2027-03-08T20:00:00Z", DAY, "undo", {"of": of})


def stands(*entries: Entry) -> Entry:
    return next(entry for entry in standing(entries) if entry.id == "a")


def test_the_day_and_the_data_that_it_names_are_right_and_the_rest_stays():
    mended = stands(STUCK, correction("c", day="2027-03-05", now={"count": 98}, without=["cause"]))
    assert mended == Entry("a", STUCK.at, date(2027, 3, 5), "done", {"batch": "E27", "step": "stick", "count": 98})
    assert (STUCK.on, STUCK.data["count"]) == (DAY, 90)


def test_of_two_corrections_of_one_thing_the_later_stands_and_of_two_things_both():
    one, other = correction("c1", now={"count": 95}), correction("c2", hour=11, now={"count": 98})
    assert stands(STUCK, one, other).data["count"] == 98
    day = correction("c3", hour=12, day="2027-03-05")
    assert (stands(STUCK, one, other, day).on, stands(STUCK, one, other, day).data["count"]) == (date(2027, 3, 5), 98)


def test_an_undo_of_a_correction_gives_back_what_was_corrected_and_a_redo_mends_it_again():
    one, other = correction("c1", now={"count": 95}), correction("c2", hour=11, now={"count": 98})
    assert stands(STUCK, one, other, undo("u", "c2")).data["count"] == 95
    assert stands(STUCK, one, other, undo("u", "c2"), undo("u2", "c1")) == STUCK
    assert stands(STUCK, one, other, undo("u", "c2"), undo("r", "u")).data["count"] == 98


def test_a_correction_of_what_is_undone_waits_until_it_is_had_again():
    mend = correction("c", now={"count": 95})
    assert [e.id for e in standing((STUCK, mend, undo("u", "a")))] == ["c", "u"]
    assert stands(STUCK, mend, undo("u", "a"), undo("r", "u")).data["count"] == 95


def test_it_makes_no_difference_whether_a_correction_stands_before_or_after_its_entry():
    mend = correction("c", day="2027-03-05")
    for entries in permutations((STUCK, mend, undo("u", "b"))):
        assert stands(*entries).on == date(2027, 3, 5)


@pytest.mark.parametrize(
    "data",
    [
        {"day": "yesterday", "now": {"count": 1}},
        {"day": 5},
        {"now": [1]},
        {"now": "count"},
        {"without": "count"},
        {"of": 7, "now": {"count": 1}},
    ],
)
def test_a_correction_that_cannot_be_read_changes_nothing(data: dict[str, Any]):
    assert stands(STUCK, Entry("c", STUCK.at, DAY, "correct", {"of": "a", **data})) == STUCK


def test_neither_an_undo_nor_a_correction_is_corrected_nor_the_names_of_the_line_itself():
    gone, mend = undo("u", "b"), correction("c", now={"count": 95})
    both = (STUCK, gone, mend, correction("d", "u", now={"of": "a"}), correction("e", "c", now={"now": {"count": 1}}))
    assert stands(*both).data["count"] == 95
    assert "kind" not in stands(STUCK, correction("c", now={"kind": "undo", "count": 3})).data


def test_what_changes_is_told_and_nothing_else():
    assert correction_of(STUCK, DAY, STUCK.data) == {}
    data = {"batch": "E27", "step": "stick", "count": 98, "left": 2}
    told = correction_of(STUCK, date(2027, 3, 5), data)
    assert told == {"of": "a", "day": "2027-03-05", "now": {"count": 98, "left": 2}, "without": ["cause"]}
    made = Entry("c", STUCK.at, DAY, "correct", told)
    assert parse(to_line(made).rstrip(b"\n"))[1] == made  # a line holds it as it is
    assert stands(STUCK, made).data == data
