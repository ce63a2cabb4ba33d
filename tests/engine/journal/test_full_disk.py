"""A disk that is full at each byte of an append, and that refuses each call after: all or nothing, and it is told."""

from __future__ import annotations

import errno
import os
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from engine.journal.entry import Entry, to_line
from engine.journal.store import JournalUnwritable, append, read_journal
from tests.fuzz import budget


def note(name: str, text: str = "dry") -> Entry:
    return Entry(name, "2027-03-01T08:00:00Z", date(2027, 3, 1), "note", {"batch": "Z1", "text": text})


MADE = (note("shed-2", "сарай"), note("shed-3", "damp"))
LENGTH = len(b"".join(map(to_line, MADE)))
STEP = 1 if budget(0, 1) else 13
"""Every byte with the large budget."""


@pytest.mark.parametrize("raises", [True, False], ids=["refused", "taken short"])
@pytest.mark.parametrize("is_new", [True, False])
@pytest.mark.parametrize("stuck", [False, True], ids=["taken back", "not even taken back"])
def test_a_disk_that_is_full_at_any_byte_leaves_whole_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, raises: bool, is_new: bool, stuck: bool
):
    real, cut = os.write, os.ftruncate
    for room in range(0, LENGTH, STEP):
        folder = tmp_path / f"{room}.records"
        acknowledged = set()
        if not is_new:
            append(folder, "shed", lambda known: [note("shed-1")])
            acknowledged = {"shed-1"}

        def write(handle: int, data: bytes, room: int = room) -> int:
            if not data.startswith(b"{"):
                return real(handle, data)
            taken = real(handle, data[:room])
            if raises:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return taken

        def ftruncate(handle: int, length: int) -> None:
            if stuck and os.fstat(handle).st_size > length and length != 0:
                raise OSError(errno.EIO, os.strerror(errno.EIO))
            cut(handle, length)

        with monkeypatch.context() as patch:
            patch.setattr(os, "write", write)
            patch.setattr(os, "ftruncate", ftruncate)
            with pytest.raises(JournalUnwritable) as told:
                append(folder, "shed", lambda known: MADE)
            assert told.value.hint
        loaded = {entry.id for entry in read_journal(folder)[0]}
        assert acknowledged <= loaded <= acknowledged | {each.id for each in MADE}
        if not stuck:
            assert loaded == acknowledged
        append(folder, "shed", lambda known: [note("shed-4")])
        after, faults = read_journal(folder)
        assert faults == ()
        assert {entry.id for entry in after} == loaded | {"shed-4"}


@pytest.mark.parametrize("call", ["open", "write", "fsync", "close", "ftruncate"])
def test_each_call_to_the_disk_may_fail_in_its_turn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str):
    real: Any = getattr(os, call)
    for turn in range(12):
        folder = tmp_path / f"{turn}.records"
        append(folder, "shed", lambda known: [note("shed-1")])
        left = turn

        def fails(*given: Any, **how: Any) -> Any:
            nonlocal left
            left -= 1
            if left == -1:
                if call == "close":
                    real(*given, **how)
                raise OSError(errno.EIO, os.strerror(errno.EIO))
            return real(*given, **how)

        written = True
        with monkeypatch.context() as patch:
            patch.setattr(os, call, fails)
            try:
                append(folder, "shed", lambda known: MADE)
            except (JournalUnwritable, OSError):
                written = False
        loaded = {entry.id for entry in read_journal(folder)[0]}
        assert "shed-1" in loaded
        assert not written or {each.id for each in MADE} <= loaded
        append(folder, "shed", lambda known: [note("shed-4")])
        assert read_journal(folder)[1] == ()
