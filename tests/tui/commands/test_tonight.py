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
    assert {"lot": "S2", "count": 24}.items() <= next(lot for lot in told["lots"] if lot["lot"] == "S2").items()


def test_the_sheet_says_what_to_do_before_dusk(call: Call, demo: Callable[[date], Path]):
    status, out, _ = call("tonight", demo(MAY), "--low", "-3", "--on", "2027-05-10")
    assert status == 0
    assert "safe to -2.0 °C: cover it with fleece" in out
    assert "[ ] standing ground: 24 American elder Adams S2, 1 L pot" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_farm_in_fahrenheit_is_asked_and_told_in_fahrenheit(call: Call, demo: Callable[[date], Path]):
    farm = demo(MAY)
    text = farm.read_text(encoding="utf-8").replace("[farm]\n", '[farm]\nunits = "us"\n', 1)
    farm.write_text(text.replace('units = "metric"\n', ""), encoding="utf-8")
    told = json.loads(call("tonight", farm, "--low", "27", "--on", "2027-05-10", "--json")[1])
    assert told["low"] == 27
    assert {lot["bears"] for lot in told["lots"]} == {28.0, 28.4}  # bloom, young leaves


def test_a_low_that_is_no_number_is_refused(call: Call, demo: Callable[[date], Path]):
    status, out, err = call("tonight", demo(MAY), "--low", "cold")
    assert (status, out) == (2, "")
    assert "not a number of degrees" in err


def test_heat_wind_and_a_power_cut_are_asked_for_likewise(call: Call, demo: Callable[[date], Path]):
    farm = demo(MAY)
    for option, key in ((("--high", "35"), "high"), (("--wind",), "wind"), (("--power-cut",), "power_cut")):
        status, out, _ = call("tonight", farm, *option, "--on", "2027-07-10", "--json")
        told = json.loads(out)
        assert (status, told[key]) == (0, 35 if key == "high" else True)
        assert told["lots"], key
    assert call("tonight", farm, "--wind", "--low", "-3")[0] == 2
    assert "give a forecast, such as --low -3" in call("tonight", farm)[2]


def test_a_place_that_is_seen_to_is_ticked(call: Call, demo: Callable[[date], Path]):
    farm = demo(MAY)
    words = ("tonight", farm, "--low", "-3", "--on", "2027-05-10")
    assert call(*words, "--done", "greenhouse")[0] == 2
    assert call(*words, "--done", "Standing Ground")[0] == 0
    assert "[x] standing ground: 24" in call(*words)[1]
    told = json.loads(call(*words, "--json")[1])
    assert {lot["seen_to"] for lot in told["lots"] if lot["place"] == "standing ground"} == {True}


def test_the_thermometers_last_night_is_taken_where_none_is_given(call: Call, demo: Callable[[date], Path]):
    farm = demo(MAY)
    text = farm.read_text(encoding="utf-8").replace("[[place]]", '[site.temperature]\nrecord = "t.csv"\n[[place]]', 1)
    farm.write_text(text, encoding="utf-8")
    (farm.parent / "t.csv").write_text("date,min,max\n2027-05-08,4,12\n2027-05-09,-2.5,14\n", encoding="utf-8")
    assert json.loads(call("tonight", farm, "--on", "2027-05-10", "--json")[1])["low"] == -2.5
