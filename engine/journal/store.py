"""The journal of a farm: append-only files of entries, one for each device, in a folder beside the farm file.

Each device writes only to its own file, so any program that syncs files carries a farm between shed and office
without conflicts. Reading merges all files to the same result in whatever order they came. An append is on the
disk before it returns; one that fails leaves the file as it was.
"""

import os
from collections import Counter
from collections.abc import Callable, Sequence
from itertools import chain
from pathlib import Path
from typing import Final, TypeAlias

from engine.journal import disk
from engine.journal.corrections import CORRECT, corrected
from engine.journal.devices import DEVICE, claim
from engine.journal.disk import LOCK_FILE, JournalBusy, JournalError, JournalUnwritable
from engine.journal.entry import Entry, LineError, parse_all, to_line, torn
from engine.reading.problems import Problem

__all__ = [
    "LOCK_FILE", "JournalBusy", "JournalClash", "JournalError", "JournalUnwritable", "append", "journal_files",
    "journal_folder", "read_journal", "standing", "taken_back",
]  # fmt: skip

RECORDS: Final = ".records"
JOURNAL: Final = ".journal"
"""As the folder was called before."""
PATIENCE_S: Final = 5.0
"""How long an append waits for another one to end, in seconds."""

_ALLOW: Final = "Allow this user to read it, then open the farm again."


_Record: TypeAlias = tuple[float, str, bytes, Path, int, Entry]
"""An entry as it was found: its instant and id, its line, and the file and number of that line."""


class JournalClash(JournalError):
    """An entry was to be written under an id that the journal has already."""


def journal_folder(farm_file: Path) -> Path:
    """The folder that a farm's entries are written to: ``NAME.records`` beside ``NAME.toml``, links followed.

    Where there is but a ``NAME.journal``, as the folder was called before, it is written on in place: another device
    may still know that name alone, and a program that syncs takes a move for a loss.
    """
    real = Path(os.path.realpath(farm_file)) if farm_file.is_symlink() else farm_file
    name = real.stem if real.suffix.lower() == ".toml" else real.name
    folder = real.with_name(f"{name}{RECORDS}")
    before = folder.with_suffix(JOURNAL)
    return before if before.is_dir() and not folder.is_dir() else folder


def journal_files(folder: Path) -> list[Path]:
    """The files that hold a journal's entries, those of the folder's former name too. Raises OSError."""
    found = [folder / name for name in sorted(_names(folder))]
    if folder.suffix == RECORDS:
        before = folder.with_suffix(JOURNAL)
        found += [before / name for name in sorted(_names(before))]
    return found


def _names(folder: Path) -> list[str]:
    try:
        return [name for name in os.listdir(folder) if name.endswith(".jsonl")]
    except FileNotFoundError:
        return []


def read_journal(folder: Path) -> tuple[tuple[Entry, ...], tuple[Problem, ...]]:
    """All entries of all devices, by the instant of writing and then by id, and all that was set aside.

    An entry that stands in several files alike is taken once. Where two differ under one id, the one written
    first stays (at the same instant, the first in the order of their bytes) and the other is a fault. A missing
    folder is an empty journal. Never raises for what the files hold.
    """
    found: dict[str, _Record] = {}
    copies: list[_Record] = []
    faults: list[Problem] = []
    try:
        files = journal_files(folder)
    except OSError as failure:
        return (), (Problem(str(folder), 0, f"the journal cannot be read: {disk.reason(failure)}", _ALLOW),)
    for path in files:
        try:
            lines = path.read_bytes().split(b"\n")
        except OSError as failure:
            faults.append(Problem(str(path), 0, f"the file cannot be read: {disk.reason(failure)}", _ALLOW))
            continue
        tail = lines.pop()
        number = 0
        for number, (line, read) in enumerate(zip(lines, parse_all(lines), strict=True), 1):
            if isinstance(read, LineError):
                faults.append(Problem(str(path), number, str(read), read.hint))
                continue
            moment, entry = read
            this = (moment, entry.id, line, path, number, entry)
            other = found.setdefault(entry.id, this)
            if other is not this:
                found[entry.id], copy = sorted((other, this), key=_precedence)
                copies.append(copy)
        if tail:
            end = torn()
            faults.append(Problem(str(path), number + 1, str(end), end.hint))
    for copy in copies:
        taken = found[copy[1]]
        if _precedence(copy) != _precedence(taken):
            faults.append(_clash(taken, copy))
    faults.sort(key=lambda fault: (fault.file, fault.line))
    return tuple(record[-1] for record in sorted(found.values())), tuple(faults)  # no two have one id


def append(
    folder: Path,
    device: str,
    make: Callable[[tuple[Entry, ...]], Sequence[Entry]],
    *,
    machine: str = "",
    process: str = "",
    tell: Callable[[str], None] | None = None,
    patience_s: float = PATIENCE_S,
) -> tuple[Entry, ...]:
    """Write what ``make`` answers to the journal as it stands now, and return it once it is on the disk.

    ``make`` gets all entries, read afresh while no other Widger can write; whatever it raises passes through
    and nothing is written. A torn line at the end of the device's file is first moved to ``DEVICE.torn``. Where the
    folder's locks hold nobody off, ``process``, a name that no other process has, gets a file of its own: nothing can
    be lost, but two may take the same plants, which reading tells. ``machine`` claims the device's name. What the
    grower should know of it goes to ``tell``.

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
        known, faults = read_journal(folder)
        made = tuple(make(known))
        ids = {entry.id for entry in known}
        for entry in made:
            if entry.id in ids:
                raise JournalClash(
                    f"the journal has an entry {entry.id!r} already",
                    "Nothing was recorded. Do it again, and it gets a new id.",
                )
            ids.add(entry.id)
        if made:
            lines = b"".join(map(to_line, made))
            with disk.plain_failure(path):
                disk.write(path, lines)
            claim(folder, device, machine)
    if made and tell is not None:
        if not alone:
            tell(f"{folder}: file locks do not work on this disk; this went to {path.name}, used by this process alone")
        if faults:
            tell(f"{folder}: what was recorded before is not all readable: `widger check` shows where")
    return made


def standing(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """The entries less those undone, as their corrections say them, in the order given.

    The undos and the corrections that stand are among them.

    An entry of kind "undo" undoes the entries that `taken_back` names, as long as it is not itself undone. The
    order does not matter, for a clock that is wrong may date an undo before what it undoes. Undos that undo one
    another in a ring, which no sequence of acts makes, do not stand.
    """
    left = _not_undone(entries)
    corrections = [entry for entry in left if entry.kind == CORRECT]
    return tuple(corrected(left, corrections)) if corrections else left


def _not_undone(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    undoes = {entry.id: taken_back(entry) for entry in entries if entry.kind == "undo"}
    if not undoes:
        return tuple(entries)
    undecided = Counter(chain.from_iterable(undoes.values()))  # undos of each, not yet known to stand or not
    fallen = {*undoes, *undecided}  # until an entry is known to stand
    undone: set[str] = set()
    ready = [key for key in undoes if not undecided[key]]
    while ready:
        key = ready.pop()
        if key not in undone:
            fallen.discard(key)
        for target in undoes.get(key, ()):
            was_open = undecided[target] > 0 and target not in undone
            undecided[target] -= 1
            if key not in undone:
                undone.add(target)
            if was_open and (target in undone or undecided[target] == 0):
                ready.append(target)
    return tuple([entry for entry in entries if entry.id not in fallen])


def taken_back(entry: Entry) -> tuple[str, ...]:
    """The ids of the entries that an undo takes back: its data name one under "of", or a list of those written at once.

    Nothing for any other entry.
    """
    if entry.kind != "undo":
        return ()
    of = entry.data.get("of")
    named = of if isinstance(of, list) else [of]
    return tuple(dict.fromkeys(each for each in named if isinstance(each, str)))


def _precedence(record: _Record) -> tuple[float, bytes]:
    """Of two lines under one id the one written first is taken; how a line ends makes no difference."""
    return record[0], record[2].removesuffix(b"\r")


def _clash(first: _Record, second: _Record) -> Problem:
    _, _, _, kept, at_line, entry = first
    _, _, _, path, line, _ = second
    return Problem(
        str(path),
        line,
        f"the line disagrees about {entry.id!r} with line {at_line} of {kept.name}, which was used",
        "Check which of the two is right; undo or correct the other on the screen.",
    )
