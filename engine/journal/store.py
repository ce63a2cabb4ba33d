"""The journal of a farm: append-only files of entries, one for each device, in a folder beside the farm file.

Each device writes only to its own file, so any program that syncs files carries a farm between shed and office
without conflicts. Reading merges all files to the same result in whatever order they came. An append is on the
disk before it returns; one that fails leaves the file as it was.
"""

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from engine.journal import disk
from engine.journal.device_names import DEVICE, claim
from engine.journal.disk import LOCK_FILE, JournalBusy, JournalError, JournalUnwritable
from engine.journal.entry import Entry, to_line
from engine.journal.merging import (
    JOURNAL,
    RECORDS,
    Journal,
    journal_files,
    journal_folder,
    read,
    read_journal,
    written_on,
)
from engine.journal.undone import standing, taken_back
from engine.reading.problems import Problem

__all__ = [
    "JOURNAL", "LOCK_FILE", "RECORDS", "JournalBusy", "JournalClash", "JournalError", "JournalUnwritable", "append",
    "journal_files", "journal_folder", "read_journal", "standing", "taken_back",
]  # fmt: skip

PATIENCE_S: Final = 5.0
"""How long an append waits for another one to end, in seconds."""


class JournalClash(JournalError):
    """An entry was to be written under an id that the journal has already."""


def append(
    folder: Path,
    device: str,
    make: Callable[[Sequence[Entry]], Sequence[Entry]],
    *,
    machine: str = "",
    process: str = "",
    tell: Callable[[str], None] | None = None,
    patience_s: float = PATIENCE_S,
    before: Journal | None = None,
    then: Callable[[Journal], None] | None = None,
) -> tuple[Entry, ...]:
    """Write what ``make`` answers to the journal as it stands now, and return it once it is on the disk.

    ``make`` gets all entries, read afresh while no other Widger can write; whatever it raises passes through
    and nothing is written. A torn line at the end of the device's file is first moved to ``DEVICE.torn``. Where the
    folder's locks hold nobody off, ``process``, a name that no other process has, gets a file of its own: nothing can
    be lost, but two may take the same plants, which reading tells. ``machine`` claims the device's name. What the
    grower should know of it goes to ``tell``. What was read ``before`` makes the reading quick; the journal as it
    then stands goes to ``then``, to be read on from.

    Raises ValueError for a device's name or an entry that cannot be written, `JournalBusy`, `JournalClash` or
    `JournalUnwritable`; after each of these the file holds the whole lines it held before.
    """
    if not DEVICE.fullmatch(device):
        raise ValueError(
            f"the device's name {device!r} may have only the letters a to z, digits, dashes and underscores; "
            "for example shed-laptop"
        )
    with disk.alone(folder, patience_s) as alone:
        path = folder / f"{device if alone else f'{device}~{process or os.urandom(4).hex()}'}.jsonl"
        with disk.plain_failure(path):
            disk.repair(path)
        journal = read(folder, before)
        known, faults = journal.entries, journal.faults
        made = tuple(make(known))
        ids: set[str] = set()
        for entry in made:
            if entry.id in ids or any(entry.id in those for those in journal.ids):
                raise JournalClash(
                    f"the journal has an entry {entry.id!r} already",
                    "Nothing was recorded. Do it again, and it gets a new id.",
                )
            ids.add(entry.id)
        if made:
            lines = b"".join(map(to_line, made))
            with disk.plain_failure(path):
                was, now = disk.write(path, lines)
            if then is not None:
                then(written_on(journal, path, lines, was, now))
            claim(folder, device, machine)
    if made and tell is not None:
        if not alone:
            tell(f"{folder}: file locks do not work on this disk; this went to {path.name}, used by this process alone")
        if faults:
            tell(_unreadable(faults))
    return made


def _unreadable(faults: Sequence[Problem]) -> str:
    """Of what was recorded before, what cannot be read, and where; how much more there is."""
    first, *more = faults
    where = f"{first.file}:{first.line}" if first.line else first.file
    besides = f", and {len(more)} more" if more else ""
    return f"not all that was recorded before can be read: {where}: {first.message}{besides} (widger check)"
