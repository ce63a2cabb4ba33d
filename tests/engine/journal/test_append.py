"""Appending to the journal: all or nothing, one writer at a time, and a disk that refuses leaves no trace."""

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from engine.journal.entry import Entry
from engine.journal.store import (
    LOCK_FILE,
    JournalBusy,
    JournalClash,
    JournalError,
    JournalUnwritable,
    append,
    read_journal,
)
from tests.sampled import sampled

ROOT = Path(__file__).parents[3]


def stuck(name: str, minute: int = 0, **data: Any) -> Entry:
    """Cuttings stuck on 1 March 2027, so many minutes after eight."""
    moment = datetime(2027, 3, 1, 8, tzinfo=UTC) + timedelta(minutes=minute)
    return Entry(name, moment.isoformat(), date(2027, 3, 1), "done", data or {"batch": "elder-27", "count": 90})


def put(*made: Entry) -> Callable[[tuple[Entry, ...]], tuple[Entry, ...]]:
    return lambda known: made


def test_make_sees_every_entry_of_every_device_and_its_answer_is_returned(folder: Path) -> None:
    append(folder, "office", put(stuck("office-1")))
    seen: list[tuple[Entry, ...]] = []

    def make(known: tuple[Entry, ...]) -> list[Entry]:
        seen.append(known)
        return [stuck("shed-1", 1), stuck("shed-2", 2)]

    assert append(folder, "shed", make) == (stuck("shed-1", 1), stuck("shed-2", 2))
    assert seen == [(stuck("office-1"),)]
    assert read_journal(folder)[0] == (stuck("office-1"), stuck("shed-1", 1), stuck("shed-2", 2))


@pytest.mark.parametrize("refusal", [LookupError("only 40 on hand"), OSError(errno.ENOENT, "x"), KeyboardInterrupt()])
def test_a_refusal_passes_through_and_writes_nothing(folder: Path, refusal: BaseException) -> None:
    append(folder, "shed", put(stuck("shed-1")))
    held = (folder / "shed.jsonl").read_bytes()

    def refuse(known: tuple[Entry, ...]) -> list[Entry]:
        raise refusal

    with pytest.raises(type(refusal)) as caught:
        append(folder, "shed", refuse)
    assert caught.value is refusal
    assert (folder / "shed.jsonl").read_bytes() == held
    append(folder, "shed", put(stuck("shed-2", 1)), patience_s=0)  # the lock is free again


def test_nothing_to_write_writes_nothing(folder: Path) -> None:
    assert append(folder, "shed", put()) == ()
    assert not (folder / "shed.jsonl").exists()


def test_an_id_that_is_taken_is_refused(folder: Path) -> None:
    append(folder, "office", put(stuck("same")))
    with pytest.raises(JournalClash, match="'same'"):
        append(folder, "shed", put(stuck("new", 1), stuck("same", 2)))
    with pytest.raises(JournalClash, match="'twice'"):
        append(folder, "shed", put(stuck("twice", 1), stuck("twice", 1)))
    assert read_journal(folder) == ((stuck("same"),), ())


@pytest.mark.parametrize("device", ["", "shed laptop", "../shed", "shed.1", "Schuppen-ä", "shed\n", "a/b"])
def test_a_device_name_that_is_no_file_name_everywhere_is_refused_with_the_remedy(folder: Path, device: str) -> None:
    with pytest.raises(ValueError, match=r"letters a to z, digits, dashes and underscores; for example"):
        append(folder, device, put(stuck("shed-1")))
    assert not folder.exists()


def test_a_journal_that_stays_locked_is_busy_and_names_its_holder(folder: Path) -> None:
    def make(known: tuple[Entry, ...]) -> list[Entry]:
        with pytest.raises(JournalBusy, match=f"process {os.getpid()}") as caught:
            append(folder, "office", put(stuck("office-1")), patience_s=0.05)
        assert caught.value.hint
        return [stuck("shed-1")]

    append(folder, "shed", make)
    assert read_journal(folder)[0] == (stuck("shed-1"),)


WRITER = """
import sys
from datetime import date
from pathlib import Path
from engine.journal.entry import Entry
from engine.journal.store import append
folder, who, device = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
for n in range(200):
    append(folder, device, lambda known: [
        Entry(f"{who}-{n}", "2027-03-01T08:00:00Z", date(2027, 3, 1), "count", {"n": len(known)})
    ], patience_s=60)
"""


@pytest.mark.parametrize("devices", sampled([("shed", "shed"), ("shed", "office")], 2), ids=" ".join)
def test_two_writers_at_once_lose_nothing_and_double_nothing(folder: Path, devices: tuple[str, str]) -> None:
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(folder), who, device], cwd=ROOT)
        for who, device in zip(("a", "b"), devices, strict=True)
    ]
    assert [writer.wait(timeout=120) for writer in writers] == [0, 0]
    loaded, faults = read_journal(folder)
    assert faults == ()
    assert sorted(entry.id for entry in loaded) == sorted(f"{who}-{n}" for who in "ab" for n in range(200))
    # each saw all that was written before it, so the counts seen are 0 to 399, each once
    assert sorted(entry.data["n"] for entry in loaded) == list(range(400))


def test_an_entry_that_no_line_can_hold_is_refused_with_those_beside_it(folder: Path) -> None:
    with pytest.raises(ValueError, match="cannot hold a date"):
        append(folder, "shed", put(stuck("shed-0"), stuck("shed-1", by=date(2027, 3, 1))))
    assert not (folder / "shed.jsonl").exists()


# --- a disk that refuses


def held_bytes(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != LOCK_FILE}


def fails(number: int) -> Callable[..., Any]:
    def call(*arguments: Any) -> Any:
        raise OSError(number, os.strerror(number))

    return call


def short_write(handle: int, lines: bytes, real: Callable[[int, bytes], int] = os.write) -> int:
    return real(handle, lines[: len(lines) // 2])


@pytest.mark.parametrize("is_new", [True, False])
@pytest.mark.parametrize(
    ("call", "answer", "reason"),
    [
        ("write", fails(errno.ENOSPC), "the disk is full"),
        ("write", short_write, "the disk is full"),
        ("write", fails(errno.EDQUOT), "share of the disk"),
        ("fsync", fails(errno.EIO), "the disk reports a fault"),
    ],
)
def test_a_failed_write_leaves_the_bytes_as_they_were(
    folder: Path, monkeypatch: pytest.MonkeyPatch, is_new: bool, call: str, answer: Callable[..., Any], reason: str
) -> None:
    append(folder, "office" if is_new else "shed", put(stuck("shed-1")))
    held = held_bytes(folder)
    with monkeypatch.context() as patch:
        patch.setattr(os, call, answer)
        with pytest.raises(JournalUnwritable, match=reason) as caught:
            append(folder, "shed", put(stuck("shed-2", 1), stuck("shed-3", 2)))
    assert caught.value.hint.startswith("Nothing was recorded.")
    assert isinstance(caught.value, JournalError)
    after = held_bytes(folder)
    assert {name: data for name, data in after.items() if data} == held
    append(folder, "shed", put(stuck("shed-2", 1)))
    assert read_journal(folder) == ((stuck("shed-1"), stuck("shed-2", 1)), ())


def test_an_interrupt_in_the_middle_of_a_write_takes_the_lines_back(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    append(folder, "shed", put(stuck("shed-1")))
    held = held_bytes(folder)
    real = os.write

    def interrupted(handle: int, lines: bytes) -> int:
        if lines.startswith(b"{"):
            real(handle, lines)
            raise KeyboardInterrupt
        return real(handle, lines)

    monkeypatch.setattr(os, "write", interrupted)
    with pytest.raises(KeyboardInterrupt):
        append(folder, "shed", put(stuck("shed-2", 1)))
    assert held_bytes(folder) == held


def test_lines_that_can_neither_be_finished_nor_taken_back_are_owned_up_to(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    append(folder, "shed", put(stuck("shed-1")))
    with monkeypatch.context() as patch:
        patch.setattr(os, "write", short_write)
        patch.setattr(os, "ftruncate", fails(errno.EIO))
        with pytest.raises(JournalUnwritable, match="be removed") as caught:
            append(folder, "shed", put(stuck("shed-2", 1)))
    assert "check whether the last entry is there" in caught.value.hint
    append(folder, "shed", put(stuck("shed-3", 2)))
    assert read_journal(folder) == ((stuck("shed-1"), stuck("shed-3", 2)), ())


@pytest.mark.parametrize("refused", [LOCK_FILE, "shed.jsonl"])
def test_a_folder_that_can_only_be_read_is_told_and_left(
    folder: Path, monkeypatch: pytest.MonkeyPatch, refused: str
) -> None:
    append(folder, "shed", put(stuck("shed-1")))
    held = held_bytes(folder)
    real = os.open

    def read_only(path: Path, flags: int, mode: int = 0o777) -> int:
        if flags & (os.O_WRONLY | os.O_RDWR) and Path(path).name == refused:
            raise OSError(errno.EROFS, os.strerror(errno.EROFS))
        return real(path, flags, mode)

    monkeypatch.setattr(os, "open", read_only)
    with pytest.raises(JournalUnwritable, match="the disk is read-only"):
        append(folder, "shed", put(stuck("shed-2", 1)))
    assert held_bytes(folder) == held


def test_a_farm_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    with pytest.raises(JournalUnwritable, match="the folder is not there"):
        append(tmp_path / "gone" / "hollow.records", "shed", put(stuck("shed-1")))


FULL_DISK = """
import resource, sys
from datetime import date
from pathlib import Path
from engine.journal.entry import Entry
from engine.journal.store import JournalUnwritable, append
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
written = 0
try:
    while written < 100:
        append(Path(sys.argv[1]), "shed", lambda known: [
            Entry(f"shed-{written}", "2027-03-01T08:00:00Z", date(2027, 3, 1), "done", {"note": "x" * 70})
        ])
        written += 1
except JournalUnwritable as refusal:
    print(written, refusal)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no limit on the size of a process's files")
def test_a_file_that_may_not_grow_keeps_its_whole_lines(folder: Path) -> None:
    """The system itself writes the last line short here: the limit falls in its middle."""
    said = subprocess.run(
        [sys.executable, "-c", FULL_DISK, str(folder)], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout
    written = int(said.split()[0])
    assert 1 <= written < 10
    loaded, faults = read_journal(folder)
    assert (len(loaded), faults) == (written, ())
    append(folder, "shed", put(stuck("next", 1)))
    assert len(read_journal(folder)[0]) == written + 1
