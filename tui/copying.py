"""A copy of a whole farm: its file, all that was recorded, its thermometer's record; read back to be sure of it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from engine.acts.action import Refused
from engine.journal import disk
from engine.journal.merging import read
from engine.journal.store import JOURNAL, LOCK_FILE, RECORDS, journal_folder
from tui.farmhouse import Farmhouse


def copy_farm(house: Farmhouse, folder: Path) -> tuple[Path, ...]:
    """Copy a farm into a folder, and give the files written, the farm file first.

    Raises Refused where something stands in the way or the copy does not read as the farm does, OSError where it cannot
    be written; then nothing of it is left.
    """
    farm_file = Path(os.path.realpath(house.path))
    made: list[Path] = []
    try:
        files = {Path(farm_file.name): farm_file, **dict(_records(farm_file)), **_thermometer(house, farm_file)}
        held = {name: file.read_bytes() for name, file in files.items()}
        if taken := [folder / name for name in files if os.path.lexists(folder / name)]:
            raise Refused(f"{taken[0]} already exists; nothing was copied", "name another folder, or a new one")
        for name, data in held.items():
            _write(folder / name, data, made)
        for name, data in held.items():
            if (folder / name).read_bytes() != data:
                raise Refused(f"{folder / name} does not read as it was written", "try another disk")
        back = {entry.id: entry for entry in read(journal_folder(folder / farm_file.name)).entries}
        if any(back.get(entry.id) != entry for entry in house.entries):  # what came meanwhile may be there too
            raise Refused(f"what was recorded does not read the same in {folder}", "try another disk")
    except BaseException:
        for each in reversed(made):
            with suppress(OSError):
                each.rmdir() if each.is_dir() else each.unlink()
        raise
    return tuple(folder / name for name in files)


def _records(farm_file: Path) -> Iterator[tuple[Path, Path]]:
    """The files of the journal under its names, by where they lie beside the farm file."""
    for beside in dict.fromkeys((journal_folder(farm_file), *map(farm_file.with_suffix, (RECORDS, JOURNAL)))):
        if beside.is_dir():
            for file in sorted(beside.iterdir()):
                if file.is_file() and file.name != LOCK_FILE:
                    yield Path(beside.name) / file.name, file


def _thermometer(house: Farmhouse, farm_file: Path) -> dict[Path, Path]:
    """The thermometer's record, where the farm keeps one; what lies outside the farm's folder is refused."""
    record = house.farm.site.record
    if not record or not (file := farm_file.parent / record).is_file():
        return {}
    if Path(record).is_absolute() or ".." in Path(record).parts:
        raise Refused(
            f"the thermometer's record {record} lies outside the farm's folder, and a copy would not find it",
            "put it beside the farm file and give that name in [site]",
        )
    return {Path(record): file}


def _write(path: Path, data: bytes, made: list[Path]) -> None:
    """Write a file that must not be there yet, and see it on the disk; what is made goes to `made`."""
    for above in reversed(path.parents):
        if not above.exists():
            above.mkdir()
            made.append(above)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o644)
    made.append(path)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        disk.flush(file.fileno())
    disk.flush_folder(path.parent)
