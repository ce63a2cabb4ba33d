"""What is recorded by the command, and what is refused, with its reason and the near spelling."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from engine.journal.store import journal_folder, read_journal, standing
from tests.tui.conftest import Call
from tests.tui.farms import TODAY, open_house, tell


def written(farm: Path) -> list[str]:
    """The kinds of what this device has recorded and not undone."""
    entries = standing(read_journal(journal_folder(farm))[0])
    return [e.kind for e in entries if e.id.startswith("bench-") and e.kind != "undo"]


def steps(call: Call, farm: Path, lot: str, on: date = TODAY) -> dict[str, dict[str, object]]:
    found = json.loads(call("plan", farm, "--batch", lot, "--on", on, "--json")[1])["batches"]
    [only] = [one for one in found if one["id"] == lot]
    return {step["step"]: step for step in only["steps"]}


@pytest.mark.parametrize(
    ("words", "near"),
    [
        (("done", "Z11", "soak"), "Z1"),
        (("done", "Z1", "sok"), "soak"),
        (("done", "Z1", "stratify warm"), "stratify cold"),
        (("look", "Z2", "stratify cold", "mold"), "mould"),
        (("look", "Z2", "stratify clod", "dry"), "stratify cold"),
        (("hold", "z-1", "soak", "why"), "Z1"),
        (("release", "Z1", "so"), "sow"),
        (("drop", "M11"), "M1"),
        (("note", "N1", "text"), "M1"),
        (("accept", "M2"), "M1"),
        (("saw", "bud swel"), "bud swell"),
        (("saw", "laef drop"), "leaf drop"),
    ],
)
def test_a_misspelt_name_is_refused_with_the_near_one(call: Call, tiny: Path, words: tuple[str, ...], near: str):
    status, out, err = call(words[0], tiny, *words[1:], "--on", TODAY)
    assert (status, out) == (2, "")
    assert near in err.split("(", 1)[1]
    assert written(tiny) == []


def test_a_misspelt_batch_of_the_plan_is_told_with_the_near_one(call: Call, tiny: Path):
    status, out, err = call("plan", tiny, "--batch", "M11", "--on", TODAY)
    assert (status, out) == (2, "")
    assert '"M1"' in err


def test_the_names_of_steps_and_marks_may_be_in_any_case(call: Call, tiny: Path):
    assert call("done", tiny, "Z1", "Soak", "--on", TODAY)[0] == 0
    assert call("saw", tiny, "Bud  Swell", "--on", "2027-03-01")[0] == 0
    assert written(tiny) == ["done", "saw"]


def test_done_twice_is_refused_with_what_was_recorded(call: Call, tiny: Path):
    assert call("done", tiny, "Z1", "soak", "--count", 97, "--on", TODAY)[0] == 0
    status, out, err = call("done", tiny, "Z1", "soak", "--on", "2027-01-19")
    assert (status, out) == (2, "")
    assert "97" in err
    assert written(tiny) == ["done"]


def test_done_without_a_count_means_all_of_them(call: Call, tiny: Path):
    assert "100" in call("done", tiny, "Z1", "soak", "--on", TODAY)[1]


def test_done_redates_what_follows(call: Call, tiny: Path):
    before = steps(call, tiny, "Z1")
    assert (before["stratify cold"]["state"], before["sow"]["latest"]) == ("not yet", "2027-04-30")
    call("done", tiny, "Z1", "soak", "--on", TODAY)
    call("done", tiny, "Z1", "stratify cold", "--on", TODAY)
    after = steps(call, tiny, "Z1")
    assert (after["stratify cold"]["done"], after["sow"]["latest"]) == ("2027-01-18", "2027-04-18")  # 90 days on


@pytest.mark.parametrize(
    "options", [("--count", "-1"), ("--left", "100"), ("--left", "101"), ("--left", "-5", "--count", "3")]
)
def test_impossible_counts_are_refused(call: Call, tiny: Path, options: tuple[str, ...]):
    assert call("done", tiny, "Z1", "soak", *options, "--on", TODAY)[0] == 2
    assert written(tiny) == []


def test_done_before_what_it_follows_is_refused(call: Call, tiny: Path):
    status, _, err = call("done", tiny, "Z2", "sow", "--on", "2027-01-02")
    assert status == 2
    assert "2027-01-04" in err


def test_a_part_done_leaves_the_rest_a_task_and_goes_on_as_a_lot_of_its_own(call: Call, tiny: Path):
    assert call("done", tiny, "Z1", "soak", "--count", 38, "--left", 60, "--on", TODAY)[0] == 0
    lots = {lot.id: lot for lot in open_house(tiny).records.lots}
    assert (lots["Z1"].count, lots["Z1"].done) == (60, {})
    assert lots["Z1/1"].count == 38
    assert steps(call, tiny, "Z1")["soak"]["done"] is None
    assert steps(call, tiny, "Z1/1")["soak"]["done"] == "2027-01-18"


def test_the_rest_done_within_a_week_joins_the_part(call: Call, tiny: Path):
    call("done", tiny, "Z1", "soak", "--left", 60, "--on", TODAY)
    call("done", tiny, "Z1", "soak", "--count", 58, "--on", "2027-01-25")
    lots = {lot.id: lot.count for lot in open_house(tiny).records.lots}
    assert "Z1/1" not in lots
    assert lots["Z1"] == 98


@pytest.mark.parametrize(("on", "options"), [("2027-01-26", ()), ("2027-01-20", ("--apart",))])
def test_the_rest_stays_apart_after_a_week_or_when_the_grower_says_so(call: Call, tiny: Path, on, options):
    call("done", tiny, "Z1", "soak", "--left", 60, "--on", TODAY)
    call("done", tiny, "Z1", "soak", "--on", on, *options)
    lots = {lot.id: lot.count for lot in open_house(tiny).records.lots}
    assert (lots["Z1"], lots["Z1/1"]) == (60, 40)


def test_a_mark_seen_moves_what_rests_on_it(call: Call, tiny: Path):
    def bud_swell() -> list[str]:
        marks = json.loads(call("dates", tiny, "--year", 2027, "--json")[1])["marks"]
        return [m["date"] for m in marks if m["name"] == "bud swell"]

    assert bud_swell() != ["2027-03-02"]
    assert call("saw", tiny, "bud swell", "--on", "2027-03-02")[0] == 0
    assert bud_swell() == ["2027-03-02"]


def test_a_mark_seen_out_of_its_season_is_refused(call: Call, tiny: Path):
    status, _, err = call("saw", tiny, "bud swell", "--on", "2027-09-01")
    assert status == 2
    assert "days" in err


def test_radicles_seen_make_the_next_act_follow_within_a_week(call: Call, tiny: Path):
    call("look", tiny, "Z2", "stratify cold", "radicles", "--on", "2027-03-29")
    sow = steps(call, tiny, "Z2", date(2027, 3, 29))["sow"]
    assert (sow["earliest"], sow["latest"]) == ("2027-04-01", "2027-04-08")  # a week from the day it opens


def test_a_look_at_what_has_not_begun_is_refused(call: Call, tiny: Path):
    status, _, err = call("look", tiny, "Z1", "stratify cold", "dry", "--on", TODAY)
    assert status == 2
    assert "has not begun" in err


def test_hold_and_release(call: Call, tiny: Path):
    assert call("hold", tiny, "Z1", "soak", "no buckets", "--on", TODAY)[0] == 0
    assert steps(call, tiny, "Z1")["soak"]["state"] == "held"
    assert call("release", tiny, "Z1", "soak", "--on", TODAY)[0] == 0
    assert steps(call, tiny, "Z1")["soak"]["state"] == "open"
    assert call("release", tiny, "Z1", "soak", "--on", TODAY)[0] == 2
    assert call("hold", tiny, "Z1", "soak", "  ", "--on", TODAY)[0] == 2


def test_later_within_the_window_moves_the_act(call: Call, tiny: Path):
    assert call("later", tiny, "Z1", "soak", "2027-02-15", "--on", TODAY)[0] == 0
    assert steps(call, tiny, "Z1")["soak"]["earliest"] == "2027-02-15"


def test_later_beyond_the_window_is_refused_with_the_reason_and_the_last_day(call: Call, tiny: Path):
    status, out, err = call("later", tiny, "Z1", "soak", "2027-03-21", "--on", TODAY)
    assert (status, out) == (2, "")
    assert "20 Mar" in err
    assert written(tiny) == []


@pytest.mark.parametrize("to", ["2027-01-18", "2026-12-24"])
def test_later_means_after_today(call: Call, tiny: Path, to: str):
    assert call("later", tiny, "Z1", "soak", to, "--on", TODAY)[0] == 2


def test_accept_takes_the_next_chance_of_what_was_missed(call: Call, tiny: Path):
    assert steps(call, tiny, "M1")["collect"]["state"] == "missed"
    assert call("accept", tiny, "M1", "--on", TODAY)[0] == 0
    collect = steps(call, tiny, "M1")["collect"]
    assert (collect["state"], collect["aim"]) == ("later", "2027-11-01")
    assert call("accept", tiny, "M1", "--on", TODAY)[0] == 2
    assert call("accept", tiny, "Z1", "--on", TODAY)[0] == 2


def test_drop_a_step_and_the_chain_goes_on_without_it(call: Call, tiny: Path):
    assert call("drop", tiny, "Z1", "--step", "soak", "--on", TODAY)[0] == 0
    after = steps(call, tiny, "Z1")
    assert (after["soak"]["state"], after["stratify cold"]["state"]) == ("dropped", "open")
    assert call("drop", tiny, "Z1", "--step", "soak", "--on", TODAY)[0] == 2
    assert call("done", tiny, "Z1", "soak", "--on", TODAY)[0] == 2


VIEWS = ("week", "plan", "stock", "cold", "year", "needs", "room", "level", "review", "orders", "inspection", "labels")


def test_a_lot_of_which_every_step_was_dropped_one_by_one_ends_no_view(call: Call, tiny: Path):
    for step in ("collect", "sow"):
        assert call("drop", tiny, "M1", "--step", step, "--on", TODAY)[0] == 0
    for view in VIEWS:
        status, _, err = call(view, tiny, "--on", TODAY)
        assert (view, status, err) == (view, 0, "")
    assert {step["state"] for step in steps(call, tiny, "M1").values()} == {"dropped"}


def test_drop_a_lot_and_its_tasks_leave_the_board(call: Call, tiny: Path):
    assert call("drop", tiny, "M1", "--on", TODAY)[0] == 0
    assert "M1" not in call("week", tiny, "--on", TODAY)[1]
    assert call("drop", tiny, "M1", "--on", TODAY)[0] == 2


def test_undo_takes_back_the_latest_of_this_device_and_no_others(call: Call, tiny: Path):
    call("note", tiny, "Z1", "one", "--on", TODAY)
    call("done", tiny, "Z1", "soak", "--on", TODAY)
    tell(tiny, "note", TODAY, device="office", batch="Z1", text="from elsewhere")
    for left in (["note"], []):
        assert call("undo", tiny)[0] == 0
        assert written(tiny) == left
    status, out, err = call("undo", tiny)
    assert (status, out) == (2, "")
    assert "nothing to undo" in err
    lot = open_house(tiny).records.lot("Z1")
    assert lot is not None
    assert [text for _, text in lot.notes] == ["from elsewhere"]


def test_undo_of_nothing_is_told(call: Call, tiny: Path):
    assert call("undo", tiny)[0] == 2


def test_a_journal_that_cannot_be_written_is_told_and_exits_with_2(call: Call, tiny: Path):
    folder = journal_folder(tiny)
    (folder / "bench.jsonl").mkdir()
    status, out, err = call("note", tiny, "Z1", "text", "--on", TODAY)
    assert (status, out) == (2, "")
    assert "bench.jsonl" in err


def test_a_damaged_journal_line_is_told_the_rest_is_read_and_the_exit_status_is_1(call: Call, tiny: Path):
    file = journal_folder(tiny) / "lamp.jsonl"
    lines = file.read_bytes().splitlines(keepends=True)
    file.write_bytes(b"".join([*lines[:3], lines[3].replace(b"cold", b"c0ld")]))
    status, out, err = call("week", tiny, "--on", TODAY)
    assert status == 1
    assert "soak" in out
    assert "lamp.jsonl" in err
    assert call("check", tiny, "--on", TODAY)[0] == 1
