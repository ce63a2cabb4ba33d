"""The entries of a farm on the command line: listed, corrected, taken back and had again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.tui.conftest import Call
from tests.tui.farms import TODAY


@pytest.fixture
def soaked(call: Call, tiny: Path) -> str:
    """Z1 soaked today; the id of that entry."""
    assert call("done", tiny, "Z1", "soak", "--count", "90", "--on", TODAY)[0] == 0
    return str(json.loads(call("entries", tiny, "Z1", "--json")[1])["entries"][0]["id"])


def test_the_entries_of_a_lot_are_listed_with_their_ids(call: Call, tiny: Path, soaked: str):
    status, out, _ = call("entries", tiny, "Z1")
    assert status == 0
    assert out.split("\n")[:2] == ["18 Jan 27  Z1: soak done, 90", f"           {soaked}"]
    every = call("entries", tiny)[1]
    assert "Z2: soak done, 80" in every
    assert soaked in every
    assert call("entries", tiny, "M1")[1] == "nothing was recorded of M1 yet\n"
    assert call("entries", tiny, "Z9")[0] == 2


def test_an_entry_is_corrected_by_its_id_or_the_end_of_it(call: Call, tiny: Path, soaked: str):
    status, out, _ = call("correct", tiny, soaked, "--on", "2027-01-12")
    assert (status, out) == (0, "corrected: Z1: soak done, 90 (12 Jan); was Z1: soak done, 90 (18 Jan)\n")
    assert call("correct", tiny, soaked[-8:], "--count", "95", "--cause", "torn")[0] == 0
    [line] = json.loads(call("entries", tiny, "Z1", "--json")[1])["entries"]
    assert (line["state"], line["on"], line["count"], line["cause"]) == ("corrected", "2027-01-12", 95, "torn")
    assert (line["was"]["on"], line["was"]["count"], len(line["by"])) == ("2027-01-18", 90, 2)
    assert call("correct", tiny, soaked, "--cause", "none")[0] == 0
    assert "cause" not in json.loads(call("entries", tiny, "Z1", "--json")[1])["entries"][0]
    [step, *_] = json.loads(call("plan", tiny, "--batch", "Z1", "--on", TODAY, "--json")[1])["batches"][0]["steps"]
    assert (step["step"], step["done"]) == ("soak", "2027-01-12")


def test_a_correction_that_cannot_be_is_refused_with_the_reason(call: Call, tiny: Path, soaked: str):
    for words, told in (
        ((soaked,), "say what is right"),
        ((soaked, "--finding", "mould"), 'no "finding" can be corrected here'),
        (("nothing-like-it", "--count", "3"), 'no entry is called "nothing-like-it" (widger entries lists them)'),
        ((soaked, "--count", "90"), "nothing changes"),
        (("lamp", "--count", "3"), '4 entries have "lamp" in their id'),
    ):
        status, out, err = call("correct", tiny, *words)
        assert (status, out) == (2, "")
        assert told in err


def test_undo_and_redo_name_what_they_take_back_and_have_again(call: Call, tiny: Path, soaked: str):
    assert call("undo", tiny)[1] == "undone: Z1: soak done, 90 (18 Jan)\n"
    assert call("redo", tiny)[1] == "redone: Z1: soak done, 90 (18 Jan)\n"
    assert "nothing to redo" in call("redo", tiny)[2]
    other = next(
        line["id"]
        for line in json.loads(call("entries", tiny, "Z2", "--json")[1])["entries"]
        if line["step"] == "stratify cold"
    )
    assert call("undo", tiny, other)[1].startswith("undone: Z2: stratify cold done, 80")  # whichever device wrote it
    assert "undone" in call("entries", tiny, "Z2")[1]
    assert call("redo", tiny, other)[1].startswith("redone: Z2: stratify cold done, 80")
    assert call("undo", tiny)[1] == "undone: Z1: soak done, 90 (18 Jan)\n"
    assert soaked in call("entries", tiny)[1]
