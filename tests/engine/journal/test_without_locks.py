"""Where a disk's locks fail, or hold nobody off: nothing is lost, no line is cut, and the grower is told."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from engine.journal import disk
from engine.journal.entry import Entry, to_line
from engine.journal.store import append, read_journal
from tests.fuzz import budget

ROOT = Path(__file__).parents[3]
WRITERS = 4
EACH = budget(12, 250)
"""Appends of each writer: a thousand in all on the large budget."""


def note(name: str) -> Entry:
    return Entry(name, "2027-03-01T08:00:00Z", date(2027, 3, 1), "note", {"note": "x" * 200})


def fails(handle: int) -> bool:
    raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))


LOCKS = {"hold nobody off": lambda handle: True, "fail": fails}


@pytest.mark.parametrize("take", LOCKS.values(), ids=LOCKS)
def test_without_locks_a_process_writes_a_file_of_its_own_and_says_so(
    folder: Path, monkeypatch: pytest.MonkeyPatch, take: object
):
    append(folder, "shed", lambda known: [note("shed-1")])
    torn = b'{"v":1,"id":"shed-2"'
    with (folder / "shed.jsonl").open("ab") as half_written:  # by another process that is at it now
        half_written.write(torn)
    monkeypatch.setattr(disk, "_take", take)
    told: list[str] = []
    for n in (3, 4):
        append(folder, "shed", lambda known, n=n: [note(f"shed-{n}")], process="aa11", tell=told.append)
    assert (folder / "shed.jsonl").read_bytes() == to_line(note("shed-1")) + torn, "it is not cut"
    assert (folder / "shed~aa11.jsonl").read_bytes() == to_line(note("shed-3")) + to_line(note("shed-4"))
    assert "file locks do not work" in told[0]
    assert "shed~aa11.jsonl" in told[0]
    monkeypatch.undo()
    assert {entry.id for entry in read_journal(folder)[0]} == {"shed-1", "shed-3", "shed-4"}


def test_with_locks_nothing_is_said(folder: Path):
    told: list[str] = []
    append(folder, "shed", lambda known: [note("shed-1")], process="aa11", tell=told.append)
    assert told == []
    assert sorted(path.name for path in folder.glob("*.jsonl")) == ["shed.jsonl"]


def test_a_journal_that_cannot_be_read_whole_is_told_at_recording(folder: Path):
    append(folder, "shed", lambda known: [note("shed-1")])
    (folder / "office.jsonl").write_bytes(b"<<<<<<< mine\n")
    told: list[str] = []
    append(folder, "shed", lambda known: [note("shed-2")], tell=told.append)
    assert len(told) == 1
    assert f"{folder / 'office.jsonl'}:1: the line is not JSON" in told[0]
    assert "widger check" in told[0]


WRITER = """
import errno, os, sys
from datetime import date
from pathlib import Path
from engine.journal import disk
from engine.journal.entry import Entry
from engine.journal.store import append

folder, who, how, each = Path(sys.argv[1]), sys.argv[2], sys.argv[3], int(sys.argv[4])
if how == "fail":
    def take(handle):
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))
    disk._take = take
elif how == "hold nobody off":
    disk._take = lambda handle: True
if how != "hold":  # each write in two halves, so that another falls between them
    real = os.write
    def write(handle, data):
        half = len(data) // 2
        return real(handle, data[:half]) + real(handle, data[half:])
    os.write = write
for n in range(each):
    append(folder, "shed", lambda known: [
        Entry(f"{who}-{n}", "2027-03-01T08:00:00Z", date(2027, 3, 1), "note", {"note": "x" * 200})
    ], process=who, patience_s=120)
    print(f"{who}-{n}", flush=True)
"""


@pytest.mark.parametrize("how", ["hold", "hold nobody off", "fail"])
def test_many_at_once_lose_nothing_that_was_acknowledged(folder: Path, how: str):
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder), f"w{n}", how, str(EACH)],
            cwd=ROOT, stdout=subprocess.PIPE, text=True,
        )
        for n in range(WRITERS)
    ]  # fmt: skip
    said = [writer.communicate(timeout=1200)[0] for writer in writers]
    assert [writer.returncode for writer in writers] == [0] * WRITERS
    loaded, faults = read_journal(folder)
    acknowledged = "".join(said).split()
    assert faults == ()
    assert sorted(entry.id for entry in loaded) == sorted(acknowledged)
    assert len(acknowledged) == WRITERS * EACH
