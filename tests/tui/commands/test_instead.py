"""A window was missed: the week's JSON and `widger instead` tell the ways still open, and one call takes one."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

from tests.tui.conftest import Call

MADE, ON = date(2027, 3, 2), "2027-07-02"


def test_the_week_the_command_and_the_taking_agree(call: Call, demo: Callable[[date], Path]):
    """Elder cuttings, 240 at hand: the dormant ones were not stuck by the beginning of April."""
    farm = demo(MADE)
    week = json.loads(call("week", farm, "--on", ON, "--json")[1])
    (task,) = (each for each in week["tasks"] if (each["batch"], each["state"]) == ("E26", "missed"))
    status, out, _ = call("instead", farm, "E26", "--on", ON, "--json")
    told = json.loads(out)
    assert status == 0
    assert (told["batch"], told["step"]) == ("E26", task["step"])
    assert told["others"] == task["others"]
    way = told["others"][0]
    assert (way["method"], way["count"]) == ("softwood cutting", task["count"])
    assert 0 < way["sure"] < way["likely"] < way["count"]
    assert all(each["others"] == [] for each in week["tasks"] if each["state"] != "missed")
    sheet = call("instead", farm, "E26", "--on", ON)[1]
    assert "stick missed its window" in sheet
    assert "softwood cutting: stick now" in sheet

    status, out, _ = call("instead", farm, "E26", "--take", "Softwood cutting", "--on", ON, "--json")
    entries = json.loads(out)["entries"]
    assert (status, [each["kind"] for each in entries]) == (0, ["batch", "done", "drop"])
    after = json.loads(call("week", farm, "--on", ON, "--json")[1])["tasks"]
    assert "E26" not in {each["batch"] for each in after}
    assert any(each["batch"] == entries[0]["batch"] and each["step"] == "stick" for each in after)
    assert call("undo", farm, "--on", ON)[0] == 0
    again = json.loads(call("week", farm, "--on", ON, "--json")[1])["tasks"]
    assert any((each["batch"], each["state"]) == ("E26", "missed") for each in again)


def test_what_cannot_be_is_refused_with_what_can(call: Call, demo: Callable[[date], Path]):
    farm = demo(MADE)
    assert json.loads(call("instead", farm, "E26", "--on", "2027-03-02", "--json")[1])["others"] == []
    status, out, _ = call("instead", farm, "E26", "--on", "2027-03-02")
    assert (status, "no missed task" in out) == (0, True)
    for words, message in (
        (("E26", "--take", "seed", "--on", "2027-03-02"), "no missed task"),
        (("E62", "--on", ON), 'no batch is called "E62"'),
        (("E26", "--take", "softwod cutting", "--on", ON), 'did you mean "softwood cutting"?'),
    ):
        status, out, err = call("instead", farm, *words)
        assert (status, out) == (2, "")
        assert message in err
