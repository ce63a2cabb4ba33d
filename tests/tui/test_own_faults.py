"""What still gets through is told as a fault in Widger: the call ends with 2, the screen goes on."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from engine.views import week
from tests.tui.farms import TODAY, write_tiny
from tests.tui.shed import opened
from tui import command
from tui.in_a_thread import work_out
from tui.screens.week import screen as week_screen
from tui.screens.week.screen import WeekScreen


def fail(*_: object, **__: object) -> None:
    raise ZeroDivisionError("no such week")


def test_a_call_that_fails_tells_the_file_and_line_and_ends_with_2(tmp_path, capsys, monkeypatch):
    path = write_tiny(tmp_path)
    monkeypatch.setattr(week, "standing_tasks", fail)
    assert command.main(["week", str(path), "--on", "2027-01-18"]) == 2
    out, told = capsys.readouterr()
    assert out == ""
    assert told.startswith("widger: a fault in Widger; nothing was written: ZeroDivisionError no such week (")
    assert "tests/tui/test_own_faults.py, line " in told
    assert "Traceback" not in told


@pytest.mark.parametrize("words", [["week", "x" * 300 + ".toml"], ["check", "x" * 300 + ".toml"]])
def test_a_file_name_that_the_disk_does_not_take_is_told(words, capsys):
    assert command.main(words) == 2
    assert "File name too long" in capsys.readouterr().err


@pytest.mark.parametrize("word", ["\x1b[2J", "\udcff", "9" * 5000])
@pytest.mark.parametrize("call", ["week", "ways", "note", "starts", "nonsense", ""])
def test_a_word_that_cannot_be_meant_is_refused_at_the_door(call, word, tmp_path, capsys):
    path = write_tiny(tmp_path)
    before = {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()}
    assert command.main([part for part in (call, str(path), word, "--want", word) if part]) == 2
    told = capsys.readouterr().err
    assert len(told) < 200
    assert "Traceback" not in told
    assert {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()} == before


async def test_a_key_that_fails_leaves_the_board_and_the_other_keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    async with opened(write_tiny(tmp_path)) as shed:
        before = shed.keys
        with monkeypatch.context() as broken:
            broken.setattr(week_screen, "week_view", fail)
            await shed.press("right")
            await shed.until(lambda: "a fault in Widger; nothing was written" in shed.foot, "the fault at the foot")
            assert shed.keys == before
            assert "tests/tui/test_own_faults.py, line " in shed.foot
            await shed.press("down")
            await shed.until(lambda: "a fault in Widger" not in shed.foot, "a key that works")
        await shed.press("w")
        await shed.until(lambda: shed.screen.week.start == TODAY, "this week again")
        assert [type(fault) for fault in shed.app.faults] == [ZeroDivisionError]
        shed.app.faults.clear()
        await shed.press("q")
    assert shed.app.return_code == 0


async def test_what_fails_after_an_entry_was_written_says_that_it_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    async with opened(write_tiny(tmp_path)) as shed:
        with monkeypatch.context() as broken:
            broken.setattr(WeekScreen, "derive", fail)
            await shed.go(next(key for key in shed.keys if "M1" in key))
            await shed.press("a")
            await shed.until(lambda: shed.app.faults, "the fault")
        assert len(shed.entries()) == 1
        assert "what was recorded is safe" in shed.foot
        shed.app.faults.clear()
        shed.screen.derive()


async def test_sums_in_a_thread_that_fail_are_told_and_made_again_when_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    async with opened(write_tiny(tmp_path)) as shed:
        told: list[object] = []
        work_out(shed.screen, "sums", fail, told.append)
        await shed.until(lambda: "a fault in Widger" in shed.foot, "the fault at the foot")
        shed.app.faults.clear()
        work_out(shed.screen, "sums", lambda *_: 4, told.append)
        await shed.until(lambda: told == [4], "the sums")


def test_a_first_farm_file_is_whole_or_not_there(tmp_path, capsys, monkeypatch):
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    path = tmp_path / "first.toml"
    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", full)
        assert command.main(["new", str(path)]) == 2
    assert "No space left on device" in capsys.readouterr().err
    assert not path.exists()
    assert command.main(["new", str(path)]) == 0
