"""The scratch copy of the demo farm: moved to the running season, with a history that fits the day."""

from __future__ import annotations

import os
import re
import tempfile
from _blake2 import blake2b  # hashlib's own, without the OpenSSL that it loads besides
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import NamedTuple

import tomli

from engine.acts.action import Refused
from engine.acts.demo_history import rehearse, unwritten
from engine.farm.reading import Reading, read_document
from engine.journal.entry import to_line
from engine.journal.store import JOURNAL, RECORDS
from engine.schedule.nursery import Nursery

FARM, HISTORY = "quillmere.toml", "demo.jsonl"
SEAL = "untouched"
"""Beside the history: by it a demo farm that nobody has touched is known, and may be replaced."""

SEASON_STARTS_MONTH = 9
WRITTEN_FOR = 2026  # the autumn in which the demo file's season begins


def demo_file() -> Path:
    """The demo farm: beside this module where installed, at the top of the checkout otherwise."""
    beside = Path(__file__).parent / "demo_farm.toml"
    return beside if beside.exists() else Path(__file__).parent.parent / "demo_farm.toml"


class Copy(NamedTuple):
    """A copy of the demo farm as it was written: its file, as that is read, and what was found for its history."""

    path: Path
    reading: Reading
    nursery: Nursery


def fresh_copy(today: date, folder: Path | None = None) -> Copy:
    """Write a copy of the demo farm for the season of `today`, with its history.

    Its folder is new, or the one given; a demo farm that lies there is replaced where nobody has touched it. Raises
    Refused where anything else lies in the way, and OSError where the folder cannot be written.
    """
    folder = folder or Path(tempfile.mkdtemp(prefix="widger-demo-"))
    path = folder / FARM
    journal, seal = path.with_suffix(RECORDS), path.with_suffix(RECORDS) / SEAL
    in_the_way = next((each for each in (path, journal, path.with_suffix(JOURNAL)) if os.path.lexists(each)), None)
    if in_the_way is not None and _sealed(folder) != _read(seal):
        raise Refused(
            f"{in_the_way} is not as the demo left it; nothing was changed",
            f"open it with `widger {path}`, or name another folder" if path.exists() else "name another folder",
        )
    season = today.year - (today.month < SEASON_STARTS_MONTH)
    text = moved(demo_file().read_text(encoding="utf-8"), season - WRITTEN_FOR)
    reading = read_document(tomli.loads(text), text, str(path))
    assert reading.farm is not None
    nursery = unwritten(reading.farm)
    history = b"".join(to_line(entry) for entry in rehearse(reading.farm, today, nursery))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        seal.unlink(missing_ok=True)  # what a sudden end cuts short is nobody's to replace
        path.write_text(text, encoding="utf-8", newline="\n")
        journal.mkdir(exist_ok=True)
        (journal / HISTORY).write_bytes(history)
        seal.write_text(_sealed(folder), encoding="ascii")
    except OSError:  # half a demo would stand in the way of the next try
        for each in (path, journal / HISTORY, seal):
            with suppress(OSError):
                each.unlink()
        with suppress(OSError):
            journal.rmdir()
        raise
    return Copy(path, reading, nursery)


def _sealed(folder: Path) -> str:
    """What shows whether anything of a demo farm has changed: what is there, and what it holds."""
    journal = (folder / FARM).with_suffix(RECORDS)
    there = sorted(each.name for each in journal.iterdir() if each.name != SEAL) if journal.is_dir() else []
    if there != [HISTORY] or (folder / FARM).is_symlink() or journal.is_symlink():
        return "not as the demo left it"
    held = (folder / FARM).read_bytes() if (folder / FARM).is_file() else b""
    return blake2b(held + b"\0" + (journal / HISTORY).read_bytes()).hexdigest()


def _read(file: Path) -> str:
    try:
        return file.read_text(encoding="ascii")
    except (OSError, ValueError):
        return ""


def moved(text: str, years: int) -> str:
    """The same farm so many years on; its ids keep pace: E26 becomes E27."""
    text = re.sub(r"\b(20\d\d)(-\d\d-\d\d)\b", lambda m: f"{int(m[1]) + years}{m[2]}", text)
    return re.sub(r'(?m)^(id = "[A-Z]+)(\d\d)', lambda m: f"{m[1]}{(int(m[2]) + years) % 100:02}", text)
