"""`widger dispatch` and `widger sent` on the demo farm: the JSON, the pick list, and the stock afterwards."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from tests.tui.conftest import Call

ON = date(2026, 12, 10)
WORDS = ("--on", "2026-12-10")


def told(call: Call, farm: Path) -> dict[str, Any]:
    status, out, err = call("dispatch", farm, *WORDS, "--json")
    assert (status, err) == (0, "")
    return {parcel["for"]: parcel for parcel in json.loads(out)["parcels"]}


def test_the_json_has_a_parcel_for_each_customer(call: Call, demo: Callable[[date], Path]):
    orchard = told(call, demo(ON))["the Ferrins' orchard"]
    assert (orchard["send_by"], orchard["blocked"]) == ("2027-03-11", None)
    (line,) = orchard["lines"]
    assert line == {
        "need": "ORCHARD", "species": "Pyrus communis", "cultivar": "Conference", "form": "bare root", "grade": "",
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
