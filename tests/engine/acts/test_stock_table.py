"""A table of stock taken in: all of it or none, with every fault told by its row and column."""

from __future__ import annotations

import pytest

from engine.acts.stock_table import COLUMNS, NEEDED, Faulty, take_in
from tests.engine.records.farms import Journal, held

HEADER = ["lot", "species", "cultivar", "form", "place", "on_hand", "doubtful"]


def faults(header: list[str], *rows: list[str]) -> list[tuple[int, str]]:
    with pytest.raises(Faulty) as caught:
        take_in(Journal().ledger(), header, rows)
    return [(fault.row, fault.column) for fault in caught.value.faults]


def test_a_good_table_is_taken_in_with_the_doubtful_names_said_after_it():
    journal = Journal()
    actions = take_in(
        journal.ledger(),
        HEADER,
        [
            ["A", "bankside fig", "Pale", "liner", "North Bed", "12", "yes"],
            ["A", "Fictus ripensis", "Pale", "1 L pot", "standing ground", "3", ""],
            ["", "", "", "", "", "", ""],
            ["B", "Fictus montana", "", "liner", "north bed", "40", "no"],
        ],
    )
    assert [action.kind for action in actions] == ["receive", "receive", "receive", "doubt"]
    for action in actions:
        journal.take(action)
    assert journal.records.strays == ()
    assert {k: n for k, n in held(journal.stock).items() if k[0] in "AB"} == {
        ("A", "liner", "", "north bed"): 12,
        ("A", "1 L pot", "", "standing ground"): 3,
        ("B", "liner", "", "north bed"): 40,
    }
    assert journal.stock.names["A"].doubtful


def test_every_fault_is_told_at_once_with_its_row_and_column():
    found = faults(
        HEADER,
        ["A", "Fictus ripensi", "", "linr", "nort bed", "many", "perhaps"],
        ["", "Fictus ripensis", "", "liner", "north bed", "0", ""],
        ["P1", "Fictus ripensis", "", "liner", "north bed", "5", ""],
        ["B", "Fictus montana", "", "liner", "north bed", "5", ""],
        ["B", "Fictus ripensis", "", "liner", "north bed", "5", ""],
        ["C", "Fictus ripensis", "", "liner", "north bed", "5", "", "and more"],
    )
    assert set(found) == {
        (2, "species"), (2, "form"), (2, "place"), (2, "on_hand"), (2, "doubtful"),
        (3, "lot"), (3, "on_hand"), (4, "lot"), (6, "lot"), (7, ""),
    }  # fmt: skip


@pytest.mark.parametrize("name", NEEDED)
def test_a_column_that_is_needed_is_missed(name: str):
    assert (1, name) in faults([column for column in COLUMNS if column != name])


def test_an_unknown_or_double_column_is_told():
    assert (1, "plce") in faults([*HEADER, "plce"])
    assert (1, "form") in faults([*HEADER, "form"])


def test_a_table_without_rows_is_a_fault():
    assert faults(HEADER) == [(2, "")]
    assert faults(HEADER, [""] * len(HEADER)) == [(2, "")]
