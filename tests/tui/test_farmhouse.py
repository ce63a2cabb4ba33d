"""The farm on the disk: its journal goes with the real file; each device and machine has a file of its own."""

from __future__ import annotations

import json
import os
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from engine.acts.place_work import worked
from engine.journal.entry import Entry
from engine.journal.store import read_journal
from tests.tui.conftest import Call
from tests.tui.farms import TODAY, open_house, tell, write_tiny
from tui import door

LINKS = pytest.mark.skipif(sys.platform == "win32", reason="a link needs a privilege on Windows")


def journal(folder: Path) -> tuple[Entry, ...]:
    return read_journal(folder)[0]


def note(call: Call, farm: Path, text: str) -> str:
    status, out, err = call("note", farm, "Z1", text, "--on", TODAY)
    assert status == 0, err
    return str(out + err)


def on_hand(call: Call, farm: Path) -> int:
    return sum(lot["on_hand"] for lot in json.loads(call("stock", farm, "--json", "--on", TODAY)[1])["lots"])


@LINKS
@pytest.mark.parametrize("of_folder", [False, True])
def test_a_farm_opened_through_a_link_has_one_journal(call: Call, tmp_path: Path, of_folder: bool):
    real = tmp_path / "sync"
    real.mkdir()
    farm = write_tiny(real, history=False)
    tell(farm, "receive", TODAY, lot="L1", species="Fictus ripensis", form="liner", place="seed beds", count=10)
    if of_folder:
        (tmp_path / "desk").symlink_to(real)
        linked = tmp_path / "desk" / "hollow.toml"
    else:
        linked = tmp_path / "mine.toml"
        linked.symlink_to(farm)
    assert call("sell", farm, "L1", 4, "--on", TODAY)[0] == 0
    status, _, err = call("sell", linked, "L1", 10, "--on", TODAY)
    assert (status, on_hand(call, linked)) == (2, 6)
    assert "6 liners" in err
    assert call("sell", linked, "L1", 6, "--on", TODAY)[0] == 0
    assert on_hand(call, farm) == 0
    assert not (tmp_path / "mine.records").exists()


@LINKS
def test_entries_written_beside_a_link_before_are_told(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path)
    desk = tmp_path / "desk"
    desk.mkdir()
    linked = desk / "mine.toml"
    linked.symlink_to(farm)
    (desk / "mine.journal").mkdir()
    status, out, _ = call("check", linked, "--on", TODAY)
    assert status == 1
    assert str(desk / "mine.journal") in out
    assert "are not read" in out


def test_a_journal_under_its_former_name_is_written_on_in_place(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path)
    before = farm.with_suffix(".journal")
    farm.with_suffix(".records").rename(before)
    note(call, farm, "dry")
    assert not farm.with_suffix(".records").exists()
    assert len(journal(before)) == 5


def test_journals_under_both_names_are_read_as_one(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path)
    before, now = farm.with_suffix(".journal"), farm.with_suffix(".records")
    before.mkdir()
    (now / "lamp.jsonl").rename(before / "lamp.jsonl")
    note(call, farm, "dry")
    assert [path.name for path in now.glob("*.jsonl")] == ["bench.jsonl"]
    assert len(journal(now)) == 5
    assert call("check", farm, "--on", TODAY)[0] == 0


@pytest.mark.parametrize(("one", "other"), [("сарай", "офис"), ("büro", "bäro"), ("納屋", "офис")])
def test_each_device_has_its_own_file_in_any_script_and_undoes_its_own(
    call: Call, tiny: Path, monkeypatch: pytest.MonkeyPatch, one: str, other: str
):
    for name in (one, other):
        monkeypatch.setenv("WIDGER_DEVICE", name)
        note(call, tiny, f"by {name}")
    files = {path.name for path in tiny.with_suffix(".records").glob("*.jsonl")} - {"lamp.jsonl"}
    assert len(files) == 2
    assert all(name.isascii() for name in files)
    monkeypatch.setenv("WIDGER_DEVICE", one)
    assert f"by {one}" in call("undo", tiny, "--on", TODAY)[1]
    assert "nothing to undo" in call("undo", tiny, "--on", TODAY)[2]


def test_two_machines_that_bear_one_name_are_noticed_and_write_apart(
    call: Call, tiny: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(door, "machine", lambda: "aaaa1111")
    note(call, tiny, "by the first")
    assert call("check", tiny, "--on", TODAY)[0] == 0
    monkeypatch.setattr(door, "machine", lambda: "bbbb2222")
    status, out, _ = call("check", tiny, "--on", TODAY)
    assert status == 1
    assert 'another machine is also called "bench"' in out
    assert "WIDGER_DEVICE" in out
    note(call, tiny, "by the second")
    assert {"bench.jsonl", "bench~bbbb2222.jsonl"} <= set(os.listdir(tiny.with_suffix(".records")))
    assert "by the second" in call("undo", tiny, "--on", TODAY)[1]
    assert "nothing to undo" in call("undo", tiny, "--on", TODAY)[2]
    monkeypatch.setenv("WIDGER_DEVICE", "barn")
    assert call("check", tiny, "--on", TODAY)[0] == 0


def test_a_screen_on_a_day_that_has_passed_shows_what_the_commands_show(call: Call, tmp_path: Path):
    """What was recorded of a later day was on the screen and not in the commands."""
    from tui.app import WidgerApp

    farm = write_tiny(tmp_path, history=False)
    later = TODAY + timedelta(30)
    tell(farm, "receive", TODAY, lot="L1", species="Fictus ripensis", form="liner", place="seed beds", count=10)
    assert call("sell", farm, "L1", 4, "--on", later)[0] == 0
    for on, left in ((TODAY, 10), (later, 6), (None, 6)):
        app = WidgerApp(open_house(farm), on)
        told = sum(held.count for held in app.house.records.stock.holdings)
        assert told == left
        assert on is None or told == sum(
            lot["on_hand"] for lot in json.loads(call("stock", farm, "--json", "--on", on)[1])["lots"]
        )
        assert len(app.house.watched().stock.movements) == (1 if left == 10 else 2)
    app = WidgerApp(open_house(farm), TODAY)
    app.record(lambda nursery, _: worked("sweep the floor", "potting shed", TODAY, TODAY))
    assert [held.count for held in app.house.records.stock.holdings] == [10]
    assert [done[0] for done in app.house.records.worked] == ["sweep the floor"]
