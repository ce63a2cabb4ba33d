"""`widger season` on the demo farm: the JSON that scripts read, and nothing recorded."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

from tests.tui.conftest import Call

ON = date(2026, 12, 10)


def test_the_plan_names_a_way_or_a_reason_for_every_need_that_is_short(call: Call, demo: Callable[[date], Path]):
    farm = demo(ON)
    status, out, err = call("season", farm, "--on", "2026-12-10", "--json")
    assert (status, err) == (0, "")
    told = json.loads(out)
    assert set(told) == {"ways", "unmet", "hours", "cost"}
    needs = json.loads(call("needs", farm, "--on", "2026-12-10", "--json")[1])["needs"]
    short = {one["id"] for one in needs if one["short"]}
    assert {one["need"] for one in (*told["ways"], *told["unmet"])} == short
    for way in told["ways"]:
        assert {"need", "method", "route", "start", "count", "chance"} <= set(way)
        assert way["chance"] >= 0.8
    assert all(one["why"] for one in told["unmet"])
    assert told["hours"] == round(sum(way["hours"] for way in told["ways"]), 2)
    assert not any("season" in path.name for path in farm.parent.iterdir())


def test_the_least_cost_is_no_dearer_than_the_least_hours(call: Call, demo: Callable[[date], Path]):
    farm = demo(ON)
    costs = {
        least: json.loads(call("season", farm, "--on", "2026-12-10", "--least", least, "--json")[1])["cost"]
        for least in ("hours", "cost")
    }
    assert costs["cost"] <= costs["hours"]
