"""The shapes of `--json` that scripts rely on, command by command."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from engine.schedule.states import State
from tests.tui.conftest import Call
from tests.tui.farms import SITE, TINY, TODAY, batch, write_tiny

TASK = {
    "batch",
    "species",
    "method",
    "step",
    "place",
    "count",
    "opens",
    "closes",
    "earliest",
    "aim",
    "latest",
    "state",
    "hours",
    "why",
    "cautions",
}
MORE_OF_A_TASK = {"others", "kind", "name", "days"}
STEP = {"step", "place", "earliest", "aim", "latest", "spans", "done", "state", "why"}


def given(answer: tuple[int, str, str], status: int = 0) -> dict[str, Any]:
    """The data of an answer: standard output holds nothing else."""
    assert answer[0] == status, answer[2]
    data = json.loads(answer[1])
    assert isinstance(data, dict)
    return data


def is_day(value: object) -> bool:
    return value is None or (isinstance(value, str) and date.fromisoformat(value).isoformat() == value)


def test_the_week_has_its_days_its_light_its_frost_and_its_tasks(call: Call, tiny: Path):
    data = given(call("week", tiny, "--on", TODAY, "--json"))
    assert {"week", "day_length_minutes", "frost", "tasks"} <= data.keys()
    assert data["week"] == {"start": "2027-01-18", "end": "2027-01-24"}
    assert 480 < data["day_length_minutes"] < 520
    assert data["frost"]["mark"] == "last frost"
    assert (data["frost"]["date"], data["frost"]["days"]) == ("2027-05-04", 106)
    assert len(data["tasks"]) == 6


def test_each_task_of_the_week_has_every_field_and_its_dates_are_iso(call: Call, tiny: Path):
    for task in given(call("week", tiny, "--on", TODAY, "--json"))["tasks"]:
        assert set(task) == TASK | MORE_OF_A_TASK
        assert all(is_day(task[name]) for name in ("opens", "closes", "earliest", "aim", "latest"))
        assert task["state"] in set(State)
        assert isinstance(task["count"], int)
        assert task["hours"] is None or task["hours"] >= 0
        assert isinstance(task["why"], list)
        assert isinstance(task["cautions"], list)


def test_one_task_of_the_week_in_full(call: Call, tiny: Path):
    tasks = given(call("week", tiny, "--on", TODAY, "--json"))["tasks"]
    [soak] = [task for task in tasks if task["step"] == "soak"]
    assert soak["why"]
    del soak["why"]
    assert soak == {
        "kind": "act", "batch": "Z1", "species": "Fictus ripensis", "name": "bankside fig", "method": "seed",
        "step": "soak", "place": "potting shed", "count": 100, "opens": "2026-12-01", "closes": "2027-03-20",
        "earliest": "2027-01-18", "aim": "2027-01-18", "latest": "2027-03-20", "state": "open", "hours": 1.0,
        "days": [], "cautions": ["Stains the hands: wear gloves."], "others": [],
    }  # fmt: skip


def test_a_site_without_frost_gives_an_empty_frost(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path, SITE, history=False)
    data = given(call("week", farm, "--on", TODAY, "--json"))
    assert (data["frost"], data["tasks"]) == ({}, [])


def test_the_plan_has_every_batch_with_its_steps_in_order(call: Call, tiny: Path):
    batches = given(call("plan", tiny, "--on", TODAY, "--json"))["batches"]
    assert [b["id"] for b in batches] == ["Z1", "Z2", "Z3", "M1"]
    for one in batches:
        assert {"id", "species", "method", "count", "ready", "problems", "steps"} <= one.keys()
        assert is_day(one["ready"])
        assert one["problems"] == []
        for step in one["steps"]:
            assert set(step) >= STEP
            assert all(is_day(step[name]) for name in ("earliest", "aim", "latest", "done"))
            assert step["state"] in set(State)
    soak, cold, sow = batches[1]["steps"]
    assert (soak["done"], soak["state"], cold["done"]) == ("2027-01-04", "done", "2027-01-04")
    # 30 days of cold from 4 January end on 3 February; the sowing opens on 1 April, its 90 days are over on 4 April.
    assert (sow["earliest"], sow["latest"], sow["state"]) == ("2027-04-01", "2027-04-04", "later")
    assert sow["spans"] == [["2027-04-01", "2027-04-04"]]
    assert soak["spans"] == []


def test_the_plan_of_one_batch_gives_that_batch_alone(call: Call, tiny: Path):
    [only] = given(call("plan", tiny, "--on", TODAY, "--batch", "M1", "--json"))["batches"]
    assert (only["id"], only["species"], only["count"]) == ("M1", "Fictus montana", 40)
    assert only["steps"][0]["state"] == "missed"


def test_the_dates_of_a_year_are_its_marks_and_the_light_of_every_day(call: Call, tiny: Path):
    data = given(call("dates", tiny, "--year", 2028, "--json"))
    assert set(data) == {"year", "marks", "day_length"}
    assert data["year"] == 2028
    assert all(set(mark) == {"name", "chance", "date", "from"} and is_day(mark["date"]) for mark in data["marks"])
    frosts = {m["chance"]: m["date"] for m in data["marks"] if m["name"] == "last frost"}
    assert frosts == {"90%": "2028-04-18", "50%": "2028-05-04", "10%": "2028-05-20"}
    days = data["day_length"]
    assert [set(day) for day in days] == [{"date", "minutes"}] * 366  # a leap year
    assert max(days, key=lambda day: day["minutes"])["date"] in ("2028-06-20", "2028-06-21")


def test_a_mark_that_never_comes_has_a_null_date_and_says_why(call: Call, tmp_path: Path):
    equator = SITE.replace("52.3", "0.0") + '[site.marks]\n"high summer" = "day length rises to 14 h"\n'
    answer = call("dates", write_tiny(tmp_path, equator, history=False), "--year", 2027, "--json")
    [mark] = [m for m in given(answer)["marks"] if m["name"] == "high summer"]
    assert mark["date"] is None
    assert "14 h" in mark["from"]


def test_check_lists_every_problem_with_its_file_and_line(call: Call, tmp_path: Path):
    text = TINY.replace('method = "seed"\ncount = 100', 'method = "sed"\ncount = 100').replace(
        "count = 80", "count = 0"
    )
    farm = write_tiny(tmp_path, text, history=False)
    problems = given(call("check", farm, "--json"), status=1)["problems"]
    assert len(problems) == 2
    lines = text.splitlines()
    for problem in problems:
        assert set(problem) == {"file", "line", "message", "hint"}
        assert problem["file"] == str(farm)
    assert [lines[p["line"] - 1] for p in problems] == ['method = "sed"', "count = 0"]
    assert "seed" in problems[0]["hint"]


def test_check_of_a_good_farm_lists_nothing(call: Call, tiny: Path):
    assert given(call("check", tiny, "--on", TODAY, "--json")) == {"problems": []}


def test_done_gives_the_entry_as_it_was_written(call: Call, tiny: Path):
    entry = given(call("done", tiny, "Z1", "soak", "--count", 95, "--on", TODAY, "--json"))
    assert entry.pop("id").startswith("bench-")
    assert entry.pop("at")[10] == "T"
    assert entry == {"on": "2027-01-18", "kind": "done", "batch": "Z1", "step": "soak", "count": 95}
    [line] = (tiny.parent / "hollow.records" / "bench.jsonl").read_text(encoding="utf-8").splitlines()
    assert {k: v for k, v in json.loads(line).items() if k in entry} == entry


@pytest.mark.parametrize(
    ("words", "data"),
    [
        (("look", "Z2", "stratify cold", "mould"), {"kind": "look", "step": "stratify cold", "finding": "mould"}),
        (("hold", "Z1", "soak", "no sand"), {"kind": "hold", "step": "soak", "reason": "no sand"}),
        (("later", "Z1", "soak", "2027-02-01"), {"kind": "later", "step": "soak", "to": "2027-02-01"}),
        (("accept", "M1"), {"kind": "accept"}),
        (("drop", "Z1", "--step", "soak", "--reason", "dry"), {"kind": "drop", "step": "soak", "reason": "dry"}),
        (("note", "Z1", "good seed"), {"kind": "note", "text": "good seed"}),
    ],
)
def test_every_record_gives_its_entry(call: Call, tiny: Path, words: tuple[str, ...], data: dict[str, str]):
    entry = given(call(words[0], tiny, *words[1:], "--on", TODAY, "--json"))
    assert {"id", "at"} <= entry.keys()
    assert {k: v for k, v in entry.items() if k not in ("id", "at")} == {
        "on": TODAY.isoformat(), "batch": words[1], **data
    }  # fmt: skip


def test_a_batch_that_nothing_fits_is_told_among_its_problems_and_is_no_fault(call: Call, tmp_path: Path):
    # 95 days of cold from 10 March at the earliest end in June, when sowing has closed; it may last no longer.
    text = TINY.replace("lasts_days = [30, 90]", "lasts_days = [95, 100]").replace(
        'opens = ["1 Dec"]', 'opens = ["10 Mar"]'
    )
    farm = write_tiny(tmp_path, text + batch("Z9", start="2027-01-01"), history=False)
    answer = call("plan", farm, "--on", TODAY, "--batch", "Z9", "--json")
    [only] = given(answer)["batches"]
    assert only["problems"]
    assert only["ready"] is None
    week = given(call("week", farm, "--on", TODAY, "--json"))
    assert any(line.startswith("Z9: ") for line in week["problems"])


def test_every_view_of_the_demo_is_json_that_json_reads(call: Call, demo_of: Callable[[date], Path]):
    day = date(2027, 4, 5)
    for command in ("week", "plan", "dates", "check"):
        assert given(call(command, demo_of(day), "--on", day, "--json"))
