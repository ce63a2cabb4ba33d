"""`widger week`: the wet day, an hour to spare, and the sheet for the wall as a PDF."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

from pypdf import PdfReader

from tests.tui.conftest import Call

ON = date(2027, 2, 15)
WORDS = ("--on", "2027-02-15")


def test_an_hour_to_spare_under_cover(call: Call, demo_of: Callable[[date], Path]):
    status, out, err = call("week", demo_of(ON), "--spare", "40", "--wet", *WORDS, "--json")
    assert (status, err) == (0, "")
    told = json.loads(out)
    assert told["tasks"]
    assert sum(task["minutes"] for task in told["tasks"]) <= 40
    week = json.loads(call("week", demo_of(ON), "--wet", *WORDS, "--json")[1])
    everything = {(task["step"], task["place"]) for task in week["tasks"]}
    assert {(task["step"], task["place"]) for task in told["tasks"]} <= everything
    sheet = call("week", demo_of(ON), "--spare", "40", *WORDS)[1]
    assert "what fits into 40 minutes" in sheet
    assert max(map(len, sheet.splitlines())) <= 80


def test_the_week_for_the_wall_prints(call: Call, demo_of: Callable[[date], Path], tmp_path: Path):
    assert call("week", demo_of(ON), "--pdf", tmp_path / "week.pdf", *WORDS)[0] == 0
    drawn = " ".join(" ".join(page.extract_text() for page in PdfReader(tmp_path / "week.pdf").pages).split())
    week = json.loads(call("week", demo_of(ON), *WORDS, "--json")[1])
    for task in (task for task in week["tasks"] if task["kind"] == "act"):
        assert f"{task['step']}: {task['count']} {task['name']}, {task['batch']}" in drawn
