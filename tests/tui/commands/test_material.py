"""What a batch is made of, from the command to the plan, the orders, the labels and the inspection list."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.tui.commands.test_record import written
from tests.tui.conftest import Call
from tests.tui.farms import TODAY, open_house
from tests.tui.screens.batches.test_screen import to_bench
from tests.tui.shed import opened

PEAR = ("P1", "pear", "bench graft", "60", "--start", "2027-02-01", "--cultivar", "Conference")
MADE = ("--rootstock", "Quince A", "--from", "Hale Orchards", "--came", "2027-01-03")
SAID = "on Quince A; from Hale Orchards, 3 Jan 27"


def test_every_sheet_tells_what_a_new_batch_is_made_of(call: Call, tiny: Path):
    assert call("batch", tiny, *PEAR, *MADE, "--on", TODAY)[0] == 0
    assert call("batch", tiny, "P2", *PEAR[1:], "--on", TODAY)[0] == 0
    batch = next(b for b in open_house(tiny).nursery.farm.batches if b.id == "P1")
    assert (batch.rootstock, batch.source, str(batch.came)) == ("Quince A", "Hale Orchards", "2027-01-03")
    entries = " ".join(call("entries", tiny)[1].split())
    assert "on Quince A, its seed or wood from Hale Orchards, came 3 Jan 27" in entries

    assert SAID in call("plan", tiny, "--batch", "P1", "--on", TODAY)[1]
    plan = json.loads(call("plan", tiny, "--json", "--on", TODAY)[1])["batches"]
    made = {b["id"]: (b["rootstock"], b["from"], b["came"]) for b in plan}
    assert made["P1"] == ("Quince A", "Hale Orchards", "2027-01-03")
    assert made["P2"] == (None, None, None)

    orders = json.loads(call("orders", tiny, "--json", "--on", TODAY)[1])["orders"]
    stocks = {line["rootstock"]: [p["lot"] for p in line["parts"]] for line in orders if line["item"] == "rootstocks"}
    assert stocks == {"Quince A": ["P1"], None: ["P2"]}, "stocks of two names are two things to buy"
    assert all(line["rootstock"] is None for line in orders if line["item"] != "rootstocks")
    assert "ROOTSTOCKS, Quince A, for pear: 60" in " ".join(call("orders", tiny, "--on", TODAY)[1].split())

    printed = call("labels", tiny, "--batch", "P1", "--on", TODAY)[1]
    assert SAID in " ".join(printed.split())
    assert any("3 Jan 27" in " ".join(line.split()) for line in printed.splitlines()), "a day stays on one line"
    (label,) = json.loads(call("labels", tiny, "--json", "--batch", "P1", "--on", TODAY)[1])["labels"]
    assert label["made_of"] == SAID

    origins = json.loads(call("inspection", tiny, "--year", "2027", "--json")[1])["origins"]
    told = [(line["on"], line["what"]) for line in origins if line["lot"].startswith("P")]
    assert told == [("2027-01-03", "scions from Hale Orchards")]


def test_a_rootstock_for_what_is_not_grafted_is_refused(call: Call, tiny: Path):
    words = ("N1", "hazel", "seed", "300", "--route", "autumn sown under mesh", "--start", "2027-08-01")
    status, out, err = call("batch", tiny, *words, "--rootstock", "Quince A", "--on", TODAY)
    assert (status, out) == (2, "")
    assert "seed takes no rootstock" in err
    assert written(tiny) == []


def test_what_was_written_wrong_is_corrected(call: Call, tiny: Path):
    call("batch", tiny, *PEAR, *MADE, "--on", TODAY)
    entry = next(e["id"] for e in json.loads(call("entries", tiny, "--json")[1])["entries"] if e["kind"] == "batch")
    fixed = call("correct", tiny, entry, "--rootstock", "Pyrodwarf", "--from-whom", "own trees", "--came", "none")
    assert fixed[0] == 0, fixed
    batch = next(b for b in open_house(tiny).nursery.farm.batches if b.id == "P1")
    assert (batch.rootstock, batch.source, batch.came) == ("Pyrodwarf", "own trees", None)


@pytest.fixture
def sown(tiny: Path) -> Path:
    """A farm whose file says of seed that was soaked whence and when it came."""
    text = tiny.read_text(encoding="utf-8")
    assert text.count('id = "Z2"\n') == 1
    lines = 'id = "Z2"\nfrom = "the lane"\ncame = 2027-01-02\n'
    tiny.write_text(text.replace('id = "Z2"\n', lines), encoding="utf-8")
    return tiny


def test_the_inspector_reads_whence_the_seed_came_on_its_day_and_on_that_of_the_lot(call: Call, sown: Path):
    lines = json.loads(call("inspection", sown, "--year", "2027", "--json")[1])["origins"]
    assert [(line["on"], line["what"]) for line in lines if line["lot"] == "Z2"] == [
        ("2027-01-02", "seed from the lane"),
        ("2027-01-04", "propagated, soak; from the lane, 2 Jan 27"),
    ]
    assert "from the lane, 2 Jan 27" in call("trace", sown, "Z2", "--on", TODAY)[1]


async def test_the_panel_and_the_page_of_a_lot_tell_it(sown: Path):
    async with opened(sown) as shed:
        bench = await to_bench(shed)
        await bench.go("Z2")
        assert "from: the lane, 2 Jan 27" in bench.facts
        await shed.press("enter")
        assert "from the lane, 2 Jan 27" in shed.text
