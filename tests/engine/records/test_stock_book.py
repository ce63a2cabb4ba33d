"""The stock book, entry by entry: what stands where after each, what is told of it, and what it refuses in words."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from engine.records.stock_book import Book
from tests.engine.records.farms import Journal, held

DAY = date(2027, 3, 1)
LINERS = {"lot": "L1", "species": "Malus domestica", "form": "liner", "place": "north bed", "count": 50, "from": "Ash"}
AT = {"lot": "L1", "form": "liner", "place": "north bed"}


def book() -> Book:
    """Fifty apple liners, bought in."""
    made = Book(watch=None)
    assert made.post("receive", LINERS, DAY, "e0") == ""
    return made


def there(made: Book) -> dict[tuple[str, str, str, str], int]:
    return {key: count for key, count in made.on_hand.items() if count}


def told(made: Book) -> list[tuple[str, int, str]]:
    """Each movement but the first: its kind, how many, and what is told of it."""
    return [(m.kind, m.count, m.told) for m in list(made.close().movements)[1:]]


@pytest.mark.parametrize("count", [None, 0, -1, "50", True, 2.5])
def test_what_came_is_a_count_of_one_or_more(count: object) -> None:
    assert Book().post("receive", {**LINERS, "count": count}, DAY, "e0") == "its count cannot be read"


def test_one_plant_may_come() -> None:
    made = Book()
    assert made.post("receive", {**LINERS, "count": 1}, DAY, "e0") == ""
    assert there(made) == {("L1", "liner", "", "north bed"): 1}


@pytest.mark.parametrize("gone", ["lot", "species", "form", "place"])
def test_what_came_has_a_lot_a_plant_a_form_and_a_place(gone: str) -> None:
    made = Book()
    assert made.post("receive", {**LINERS, gone: ""}, DAY, "e0") == "it lacks a lot, species, form or place"
    assert there(made) == {}


@pytest.mark.parametrize("other", [{"species": "Pyrus communis"}, {"cultivar": "Bramley"}])
def test_another_plant_does_not_come_to_a_lot(other: dict[str, str]) -> None:
    made = book()
    assert made.post("receive", {**LINERS, **other}, DAY, "e1").endswith("a different plant")
    assert made.post("receive", LINERS, DAY, "e2") == ""
    assert there(made) == {("L1", "liner", "", "north bed"): 100}


@pytest.mark.parametrize("kind", ["sell", "move", "count", "split"])
@pytest.mark.parametrize("count", [None, -1, "5", True])
def test_a_count_that_is_none_is_refused(kind: str, count: object) -> None:
    made = book()
    assert made.post(kind, {**AT, "count": count, "to": "x", "into": "y"}, DAY, "e1") == "its count cannot be read"
    assert there(made) == {("L1", "liner", "", "north bed"): 50}


def test_nothing_can_be_counted_but_not_moved() -> None:
    made = book()
    assert made.post("move", {**AT, "count": 0, "to": "frame"}, DAY, "e1") == "its count is zero"
    assert made.post("count", {**AT, "count": 0}, DAY, "e2") == ""
    assert there(made) == {}


@pytest.mark.parametrize(
    ("data", "moved"),
    [
        ({"count": 50, "to": "the fair"}, ("sell", 50, "the fair")),
        ({"count": 1, "cause": "a swap"}, ("sell", 1, "a swap")),
        ({"count": 1}, ("sell", 1, "")),
    ],
)
def test_what_leaves_is_told_with_its_buyer_or_its_cause(data: dict[str, Any], moved: tuple[str, int, str]) -> None:
    made = book()
    assert made.post("sell", {**AT, **data}, DAY, "e1") == ""
    assert told(made) == [moved]


def test_more_than_there_are_is_refused_and_the_rest_is_told_where_it_stands() -> None:
    made = book()
    made.post("move", {**AT, "count": 8, "to": "frame"}, DAY, "e1")
    made.post("grade", {**AT, "place": "frame", "grades": {"first": 3}}, DAY, "e2")
    assert made.post("sell", {**AT, "count": 43}, DAY, "e3") == (
        "43 of L1 wanted, only 42 liners at north bed; the rest: 5 liners at frame, 3 liners (first) at frame"
    )
    assert made.post("sell", {**AT, "form": "pot", "count": 1}, DAY, "e4").startswith(
        "1 of L1 wanted, 0 pots at north bed; the rest: 42 liners at north bed, "
    )
    made.post("move", {**AT, "count": 42, "to": "frame"}, DAY, "e5")
    assert made.post("sell", {**AT, "place": "", "count": 1}, DAY, "e6").startswith(
        "1 of L1 wanted, 0 liners at no place; "
    )


def test_potted_up_they_stay_where_they_stand_unless_a_place_is_named() -> None:
    made = book()
    assert made.post("pot_up", {**AT, "count": 20, "to_form": "1 L pot"}, DAY, "e1") == ""
    assert made.post("pot_up", {**AT, "count": 30, "to": "frame"}, DAY, "e2") == ""
    assert there(made) == {("L1", "1 L pot", "", "north bed"): 20, ("L1", "pot", "", "frame"): 30}


def test_graded_they_stay_in_their_form_and_place_and_the_rest_ungraded() -> None:
    made = book()
    assert made.post("grade", {**AT, "grades": {"first": 30, "second": 15, "third": 0}}, DAY, "e1") == ""
    assert there(made) == {
        ("L1", "liner", "", "north bed"): 5,
        ("L1", "liner", "first", "north bed"): 30,
        ("L1", "liner", "second", "north bed"): 15,
    }
    assert made.post("grade", {**AT, "grades": {"first": 5}}, DAY, "e2") == ""  # all that are left
    assert made.post("grade", {**AT, "grades": {"first": 1}}, DAY, "e3").startswith("1 of L1 wanted, 0 liners")


@pytest.mark.parametrize("grades", [None, 5, {"first": "5"}, {"first": True}, {"first": 5, "second": -1}])
def test_grades_that_are_no_counts_are_refused(grades: object) -> None:
    assert book().post("grade", {**AT, "grades": grades}, DAY, "e1") == "its grades cannot be read"


@pytest.mark.parametrize(
    ("count", "reason", "moved"),
    [
        (52, "under the leaves", ("count", 2, "under the leaves")),
        (47, "", ("count", 3, "missing at a stock-take")),
        (47, "voles", ("count", 3, "voles")),
        (50, "", ("count", 0, "as recorded")),
    ],
)
def test_a_count_finds_loses_or_confirms(count: int, reason: str, moved: tuple[str, int, str]) -> None:
    made = book()
    assert made.post("count", {**AT, "count": count, "reason": reason}, DAY, "e1") == ""
    assert told(made) == [moved]
    assert there(made) == {("L1", "liner", "", "north bed"): count}
    assert made.flows["Malus domestica", ""] == [50 + max(0, count - 50), max(0, 50 - count)]


# -- a lot under propagation


def test_each_act_moves_a_lot_on_in_its_form_and_place_and_tells_what_it_lost() -> None:
    """A hundred seeds: 4 thrown out at the soak, 6 at the cold; those sown are seedlings to come."""
    journal = Journal()
    for step, count in (("soak", 96), ("stratify cold", 90), ("sow", 90)):
        journal.tell("done", batch="Z1", step=step, count=count)
    stock = journal.watched().stock
    assert [(m.kind, m.count, m.told) for m in stock.movements if "Z1" in str(m)] == [
        ("propagated", 100, "soak"),
        ("lost", 4, "thrown out at soak"),
        ("stratify cold", 96, "stratify cold"),
        ("lost", 6, "thrown out at stratify cold"),
        ("sow", 90, "sow"),
    ]
    assert {key: count for key, count in held(stock).items() if key[0] == "Z1"} == {
        ("Z1", "seedling", "", "seed beds"): 90
    }


def test_more_than_went_in_are_an_increase() -> None:
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", count=120)
    stock = journal.watched().stock
    assert [(m.kind, m.count) for m in stock.movements if "Z1" in str(m)] == [("propagated", 100), ("propagated", 20)]
    assert held(stock)["Z1", "seed", "", "potting shed"] == 120


def test_what_was_sown_is_going_and_what_was_taken_out_of_it_is_not() -> None:
    journal = Journal()
    for step in ("soak", "stratify cold", "sow"):
        journal.tell("done", batch="Z1", step=step, count=100)
    journal.tell("move", lot="Z1", form="seedling", place="seed beds", count=5, to="north bed")
    going = {(h.lot, h.place): h.going for h in journal.stock.holdings}
    assert going["Z1", "seed beds"]
    assert not going["Z1", "north bed"]
    assert not going["P1", "standing ground"]
    journal.tell("move", lot="Z1", form="seedling", place="seed beds", count=95, to="north bed")
    assert [h.going for h in journal.stock.holdings if h.lot == "Z1"] == [True]  # all of it went there


def test_how_long_it_stands_is_counted_from_where_it_was_moved_and_not_from_a_split() -> None:
    later = date(2027, 5, 1)
    made = book()
    made.post("split", {**AT, "count": 10, "into": "L2"}, later, "e1")
    made.post("move", {**AT, "count": 10, "to": "frame"}, later, "e2")
    assert made.came["L2", "liner", "", "north bed"] == DAY
    assert made.came["L1", "liner", "", "frame"] == later
    made.post("join", {"lot": "L2", "into": "L1"}, later, "e3")
    assert there(made) == {("L1", "liner", "", "north bed"): 40, ("L1", "liner", "", "frame"): 10}
    assert made.came["L1", "liner", "", "north bed"] == DAY


def test_to_a_lot_that_was_dropped_nothing_comes_until_some_of_it_is_found() -> None:
    made = book()
    made.give_up("L1", DAY, "e1", "canker")
    assert told(made) == [("lost", 50, "dropped: canker")]
    assert made.post("count", {**AT, "count": 0}, DAY, "e2") == ""
    assert made.post("receive", LINERS, DAY, "e3") != ""
    assert made.post("count", {**AT, "count": 2}, DAY, "e4") == ""
    assert made.post("receive", LINERS, DAY, "e5") == ""
    assert there(made) == {("L1", "liner", "", "north bed"): 52}


def test_only_lots_of_one_plant_are_joined_and_none_with_itself() -> None:
    made = book()
    made.post("receive", {**LINERS, "lot": "L2", "cultivar": "Bramley"}, DAY, "e1")
    assert made.post("join", {"lot": "L1", "into": "L2"}, DAY, "e2") == "L1 and L2 are different plants"
    assert made.post("join", {"lot": "L1", "into": "L1"}, DAY, "e3") == "L1 and L1 are different plants"
    assert made.post("join", {"lot": "L1", "into": "L9"}, DAY, "e4") == 'no lot is called "L9"'
    assert made.post("split", {**AT, "count": 5, "into": "L2"}, DAY, "e5") == 'there is already a lot called "L2"'
    assert made.post("split", {**AT, "count": 5}, DAY, "e6") == "it names no lot to split into"
