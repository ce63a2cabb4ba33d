"""A copy of the whole farm: all that was recorded is in it, it reads as the farm does, and nothing is written over."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from engine.journal import disk
from engine.journal.store import journal_folder, read_journal
from tests.engine.records.farms import TODAY
from tests.tui.conftest import Call
from tests.tui.farms import TINY, tell, write_tiny


def test_a_copy_holds_all_and_reads_as_the_farm_does(tiny: Path, tmp_path: Path, call: Call):
    tell(tiny, "note", TODAY, device="bench", batch="Z1", text="dry")
    (journal_folder(tiny) / "bench.torn").write_bytes(b'{"v":1')
    to = tmp_path / "stick" / "copy"
    status, out, err = call("copy", tiny, to)
    assert (status, err) == (0, "")
    assert "copied and read back" in out
    copied = to / tiny.name
    assert copied.read_bytes() == tiny.read_bytes()
    assert read_journal(journal_folder(copied)) == read_journal(journal_folder(tiny))
    assert (journal_folder(copied) / "bench.torn").read_bytes() == b'{"v":1'
    assert call("week", copied, "--on", TODAY)[:2] == call("week", tiny, "--on", TODAY)[:2]


def test_the_thermometers_record_goes_with_it(tmp_path: Path, call: Call):
    text = TINY + '\n[site.temperature]\nrecord = "weather/day.csv"\n'
    path = write_tiny(tmp_path, text, history=False)
    (tmp_path / "weather").mkdir()
    (tmp_path / "weather" / "day.csv").write_text("date,min,max\n2026-03-01,1.0,9.0\n", encoding="utf-8")
    told = json.loads(call("copy", path, tmp_path / "to", "--json")[1])
    assert told["files"] == [str(tmp_path / "to" / "hollow.toml"), str(tmp_path / "to" / "weather" / "day.csv")]
    assert (tmp_path / "to" / "weather" / "day.csv").read_bytes() == (tmp_path / "weather" / "day.csv").read_bytes()


@pytest.mark.parametrize("there", ["hollow.toml", "hollow.records/lamp.jsonl"])
def test_nothing_is_written_over(tiny: Path, tmp_path: Path, call: Call, there: str):
    file = tmp_path / "to" / there
    file.parent.mkdir(parents=True)
    file.write_text("somebody's own", encoding="utf-8")
    status, _, err = call("copy", tiny, tmp_path / "to")
    assert status == 2
    assert f"{file} already exists" in err
    assert file.read_text(encoding="utf-8") == "somebody's own"
    assert [each for each in (tmp_path / "to").rglob("*") if each.is_file()] == [file]
    assert call("copy", tiny, tiny.parent)[0] == 2  # onto itself


def test_a_copy_that_fails_leaves_nothing(tiny: Path, tmp_path: Path, call: Call, monkeypatch: pytest.MonkeyPatch):
    real, left = disk.flush, [1]

    def full(handle: int) -> None:
        left[0] -= 1
        if left[0] < 0:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(disk, "flush", full)
    status, _, err = call("copy", tiny, tmp_path / "to")
    assert status == 2
    assert "the disk is full; nothing was copied" in err
    assert not (tmp_path / "to").exists()


def test_what_does_not_read_back_is_no_copy(tiny: Path, tmp_path: Path, call: Call, monkeypatch: pytest.MonkeyPatch):
    real = os.fdopen

    def forgetful(handle: int, *rest: object) -> object:
        file = real(handle, *rest)  # type: ignore[call-overload]
        file.write(b"#")
        return file

    monkeypatch.setattr("tui.copying.os.fdopen", forgetful)
    status, _, err = call("copy", tiny, tmp_path / "to")
    assert status == 2
    assert "does not read as it was written" in err
    assert not (tmp_path / "to").exists()
