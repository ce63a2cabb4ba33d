"""`widger dispatch` and `widger sent` on the demo farm: the JSON, the pick list, and the stock afterwards."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from pypdf import PdfReader

from tests.tui.conftest import Call

ON = date(2026, 12, 10)
WORDS = ("--on", "2026-12-10")


def told(call: Call, farm: Path) -> dict[str, Any]:
    status, out, err = call("dispatch", farm, *WORDS, "--json")
    assert (status, err) == (0, "")
    return {parcel["for"]: parcel for parcel in json.loads(out)["parcels"]}


def test_the_json_has_a_parcel_for_each_customer(call: Call, demo: Callable[[date], Path]):
    orchard = told(call, demo(ON))["the Ferrins' orchard"]
    assert (orchard["send_by"], orchard["blocked"]) == ("2027-03-10", None)
    (line,) = orchard["lines"]
    assert line == {
        "need": "ORCHARD", "species": "Pyrus communis", "cultivar": "Conference", "form": "bare root", "grade": "first",
        "count": 24, "short": 0, "from": [{"lot": "S1", "count": 24, "place": "nursery beds"}],
    }  # fmt: skip


def test_what_was_sent_is_gone_from_stock_and_from_the_list_and_undo_brings_it_back(
    call: Call, demo: Callable[[date], Path]
):
    farm = demo(ON)
    assert call("sent", farm, "the Ferrins' orchard", *WORDS)[0] == 0
    assert "the Ferrins' orchard" not in told(call, farm)
    assert call("undo", farm, *WORDS)[0] == 0
    assert "the Ferrins' orchard" in told(call, farm)


def test_the_sheet_says_what_to_pick_where(call: Call, demo: Callable[[date], Path]):
    status, out, _ = call("dispatch", demo(ON), *WORDS)
    assert status == 0
    assert "[ ]    24 pear Conference  S1, first  for the Ferrins' orchard" in out
    assert "ask your plant-health authority" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80


def test_a_parcel_is_packed_and_then_fetched(call: Call, demo: Callable[[date], Path]):
    farm = demo(ON)
    assert call("packed", farm, "the Ferrins' orchard", *WORDS)[0] == 0
    assert told(call, farm)["the Ferrins' orchard"]["packed"] is True
    assert call("packed", farm, "the Ferrins' orchard", *WORDS)[0] == 2
    assert call("sent", farm, "the Ferrins' orchard", "--fetched", *WORDS)[0] == 0
    assert "the Ferrins' orchard" not in told(call, farm)


def test_a_substitute_needs_the_customers_word(call: Call, demo: Callable[[date], Path]):
    farm = demo(ON)
    words = ("substitute", farm, "HEDGE", "S3", "35", *WORDS)
    assert "the customer's word" in call(*words)[2]
    assert call(*words, "--word", "by telephone, 9 Dec")[0] == 0
    lines = told(call, farm)["the Long Acre hedge"]["lines"]
    assert [(line["species"], line["count"]) for line in lines] == [("Corylus avellana", 85), ("Ribes nigrum", 35)]


def test_the_pick_list_packing_lists_and_passport_fields_print(
    call: Call, demo: Callable[[date], Path], tmp_path: Path
):
    status, out, _ = call("dispatch", demo(ON), *WORDS, "--pdf", tmp_path / "o.pdf", "--labels", tmp_path / "l.pdf")
    assert status == 0
    assert "o.pdf" in out
    pages = [page.extract_text() for page in PdfReader(tmp_path / "o.pdf").pages]
    assert "pick list" in pages[0]
    assert "24 pear Conference" in pages[0]
    orchard = next(page for page in pages[1:] if "FERRINS" in page)
    assert "A Pyrus communis 'Conference'   B GB-00417   C S1   D GB" in orchard
    label = PdfReader(tmp_path / "l.pdf").pages[0].extract_text()
    assert "24 for the Ferrins' orchard" in " ".join(label.split())


def test_a_seasons_orders_go_out_and_come_in_as_a_table(call: Call, demo: Callable[[date], Path], tmp_path: Path):
    farm = demo(ON)
    rows = list(csv.reader(io.StringIO(call("needs", farm, *WORDS, "--csv")[1])))
    assert rows[0] == ["need", "species", "cultivar", "form", "grade", "count", "by", "sure", "who"]
    assert "the wind belt" not in {row[8] for row in rows}
    table = tmp_path / "orders.csv"
    table.write_text(
        "species,cultivar,count,by,who\nhazel,,25,2028-02-01,Hale\npear,Conference,6,2028-02-01,Hale\n",
        encoding="utf-8",
    )
    assert call("need", farm, "--csv", table, *WORDS)[0] == 0
    assert [line["count"] for line in told(call, farm)["Hale"]["lines"]] == [25, 6]
    table.write_text("species,count,by\nhazle,25,2028-02-01\nhazel,none,soon\n", encoding="utf-8")
    status, _, err = call("need", farm, "--csv", table, *WORDS)
    assert status == 2
    assert "row 2" in err
    assert "row 3, count" in err
    assert "row 3, by" in err
    assert "nothing was recorded" in err
    parcels = list(csv.DictReader(io.StringIO(call("dispatch", farm, *WORDS, "--csv")[1])))
    assert {"for": "the Ferrins' orchard", "need": "ORCHARD", "lots": "24 S1"}.items() <= parcels[0].items()
