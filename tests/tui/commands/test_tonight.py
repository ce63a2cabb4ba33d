"""`widger tonight --low T`: the JSON and the sheet, in the farm's own degrees."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

from tests.tui.conftest import Call

MAY = date(2027, 5, 10)


def test_the_json_has_the_lots_tenderest_first(call: Call, demo: Callable[[date], Path]):
    status, out, err = call("tonight", demo(MAY), "--low", "-3", "--on", "2027-05-10", "--json")
    assert (status, err) == (0, "")
    told = json.loads(out)
    assert told["low"] == -3
    assert {"lot", "species", "place", "count", "bears", "do"} <= set(told["lots"][0])
    bears = [lot["bears"] for lot in told["lots"]]
    assert bears == sorted(bears, reverse=True)
    assert all(bear > -3 for bear in bears)
    assert {"lot": "S2", "count": 64}.items() <= next(lot for lot in told["lots"] if lot["lot"] == "S2").items()


def test_the_sheet_says_what_to_do_before_dusk(call: Call, demo: Callable[[date], Path]):
    status, out, _ = call("tonight", demo(MAY), "--low", "-3", "--on", "2027-05-10")
    assert status == 0
    assert "bears -2.0 C: cover it with fleece" in out
    assert "[ ] standing ground: 64 American elder Adams S2, 1 L pot" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_farm_in_fahrenheit_is_asked_and_told_in_fahrenheit(call: Call, demo: Callable[[date], Path]):
    farm = demo(MAY)
    text = farm.read_text(encoding="utf-8").replace("[farm]\n", '[farm]\nunits = "us"\n', 1)
    farm.write_text(text.replace('units = "metric"\n', ""), encoding="utf-8")
    told = json.loads(call("tonight", farm, "--low", "27", "--on", "2027-05-10", "--json")[1])
    assert told["low"] == 27
    assert {lot["bears"] for lot in told["lots"]} == {28.4}


def test_a_low_that_is_no_number_is_refused(call: Call, demo: Callable[[date], Path]):
    status, out, err = call("tonight", demo(MAY), "--low", "cold")
    assert (status, out) == (2, "")
    assert "no number of degrees" in err
