"""The files of a journal read and merged: to the same result in whatever order they came.

Of what was read before only what was added since is read anew, where a file begins as it was.
"""

import os
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Final, TypeAlias

from engine.journal import disk
from engine.journal.entry import Entry, LineError, parse_all, torn
from engine.reading.frozen import dataclass, replace
from engine.reading.log import begins, onward
from engine.reading.problems import Problem

RECORDS: Final = ".records"
JOURNAL: Final = ".journal"
"""As the folder was called before."""

_AT_A_TIME: Final = 100_000
"""So many bytes of a file are cut into lines at a time, to the end of the last of them."""

_PIECES: Final = 500
"""So many pieces of a file's bytes are kept apart, until all but the first are laid into one."""

_Record: TypeAlias = tuple[float, str, Path, int, Entry]
"""An entry as it was found: its instant and id, and the file and number of its line."""


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


@dataclass(frozen=True, slots=True)
class JournalFile:
    """A file of a journal as it was read."""

    path: Path
    stamp: tuple[int, ...] = ()
    """By which the system tells whether it has changed since; () where it could not be read."""
    data: tuple[bytes, ...] = ()
    """Its whole lines, in the pieces in which they came to be known, and how many they are."""
    lines: int = 0
    records: Sequence[_Record] = ()
    faults: tuple[Problem, ...] = ()
    """What is wrong with its lines, and then with what follows them or with the file."""
    end: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Journal:
    """All entries of all devices, by the instant of writing and then by id, and all that was set aside."""

    entries: Sequence[Entry] = ()
    faults: tuple[Problem, ...] = ()
    files: tuple[JournalFile, ...] = ()
    last: tuple[float, str] | None = None
    """The instant and id of the last entry."""
    ids: tuple[frozenset[str], ...] = ()
    """Of the entries, a set for each time that some were added."""
    clashes: tuple[Problem, ...] = ()
    onto: Sequence[Entry] = ()
    """The entries that were there before, where these simply go on from them."""


def read_journal(folder: Path) -> tuple[Sequence[Entry], tuple[Problem, ...]]:
    """All entries of all devices, and all that was set aside, as `read` finds them."""
    journal = read(folder)
    return journal.entries, journal.faults


def read(folder: Path, before: Journal | None = None, tell: Callable[[int], None] | None = None) -> Journal:
    """The journal of a folder. With what was read `before` the same, and sooner. `tell` gets how many lines are read.

    An entry that stands in several files alike is taken once. Where two differ under one id, the one written
    first stays (at the same instant, the first in the order of their bytes) and the other is a fault. A missing
    folder is an empty journal. Never raises for what the files hold.
    """
    try:
        paths = journal_files(folder)
    except OSError as failure:
        why, hint = disk.unread(failure)
        return Journal(faults=(Problem(str(folder), 0, f"the journal cannot be read: {why}", hint),))
    known = {file.path: file for file in before.files} if before is not None else {}
    files: tuple[JournalFile, ...] = ()
    for path in paths:
        lines = sum(file.lines for file in files)
        files = (*files, _file(path, known.pop(path, None), partial(_told, tell, lines) if tell else None))
    if before is None or known:  # or a file is gone
        return _merged(files)
    if len(files) == len(before.files) and all(new is old for new, old in zip(files, before.files, strict=True)):
        return before
    return _further(before, files) or _merged(files)


def gone_since(before: Journal, now: Journal) -> int:
    """How many entries of those that were read before are not among those read now: none is ever removed."""
    if now.onto is before.entries or begins(now.entries, before.entries):
        return 0
    return len(frozenset().union(*before.ids) - frozenset().union(*now.ids))


def lines_of(journal: Journal, ids: Collection[str]) -> dict[str, tuple[Path, int]]:
    """The file and the line in which each of these entries stands."""
    return {r[1]: (r[2], r[3]) for file in journal.files for r in file.records if r[1] in ids} if ids else {}


def _told(tell: Callable[[int], None], before: int, lines: int) -> None:
    """Tell of lines read in a file that so many were read before."""
    tell(before + lines)


def _file(path: Path, before: JournalFile | None, tell: Callable[[int], None] | None = None) -> JournalFile:
    """A file with its entries; only what was added is read where it begins as it did before."""
    try:
        with disk.opened(path) as file:
            now = os.fstat(file.fileno())
            stamp = disk.stamp(now)
            if before is not None and before.stamp == stamp:
                return before
            data = file.read()
    except OSError as failure:
        why, hint = disk.unread(failure)
        return JournalFile(path, end=(Problem(str(path), 0, f"the file cannot be read: {why}", hint),))
    whole = data.rfind(b"\n") + 1
    if before is None or not _still_begins(data, before.data):
        before = JournalFile(path)
    end: tuple[Problem, ...] = ()
    read_on = _read_on(before, data, sum(map(len, before.data)), whole, tell)
    if whole < len(data):
        cut = torn()
        end = (Problem(str(path), read_on.lines + 1, str(cut), cut.hint),)
    return replace(read_on, stamp=stamp, data=(data[:whole],), end=end)


def _still_begins(data: bytes, pieces: Iterable[bytes]) -> bool:
    """Whether a file's bytes begin with these pieces."""
    at = 0
    for piece in pieces:
        if not data.startswith(piece, at):
            return False
        at += len(piece)
    return True


def _read_on(
    before: JournalFile, data: bytes, start: int, stop: int, tell: Callable[[int], None] | None = None
) -> JournalFile:
    """What was read of a file, with the lines of these bytes from `start` to `stop`, which follow it."""
    path, count = before.path, before.lines
    records: list[_Record] = []
    faults: list[Problem] = []
    for lines in _lines(data, start, stop):
        for number, read in enumerate(parse_all(lines), count + 1):
            if isinstance(read, LineError):
                faults.append(Problem(str(path), number, str(read), read.hint))
            else:
                records.append((read[0], read[1].id, path, number, read[1]))
        count += len(lines)
        if tell is not None:
            tell(count)
    onto = onward(before.records, records) if before.records else tuple(records)
    return replace(before, lines=count, records=onto, faults=(*before.faults, *faults))


def written_on(journal: Journal, path: Path, lines: bytes, before: disk.Stamp, after: disk.Stamp) -> Journal:
    """The journal with whole lines that were just written at the end of one of its files.

    `before` and `after` are the file's stamps, just before they were written and since. Where the file was not as it
    had been read, or had not been there, the journal as it was: it is then to be read.
    """
    known = next((file for file in journal.files if file.path == path and file.stamp == before), None)
    if known is None or known.end:
        return journal
    pieces = (*known.data, lines) if len(known.data) < _PIECES else (known.data[0], b"".join((*known.data[1:], lines)))
    new = replace(_read_on(known, lines, 0, len(lines)), stamp=after, data=pieces)
    files = tuple(new if file is known else file for file in journal.files)
    return _further(journal, files) or _merged(files)


def _lines(data: bytes, start: int, end: int) -> Iterator[list[bytes]]:
    """The lines of a part of a file, some at a time: all at once would be a long breath."""
    while start < end:
        stop = data.find(b"\n", min(start + _AT_A_TIME, end - 1)) + 1
        yield data[start:stop].split(b"\n")[:-1]
        start = stop


def _further(before: Journal, files: tuple[JournalFile, ...]) -> Journal | None:
    """The journal with what was added to its files; None where that does not simply follow what was there."""
    known = {file.path: file.records for file in before.files}
    new: list[_Record] = []
    for file in files:
        old = known.get(file.path, ())
        if old and (len(file.records) < len(old) or file.records[len(old) - 1] is not old[-1]):
            return None
        new += file.records[len(old) :]
    new.sort()
    ids = frozenset(record[1] for record in new)
    if new and before.last is not None and new[0][:2] <= before.last:
        return None
    if len(ids) < len(new) or any(not ids.isdisjoint(those) for those in before.ids):
        return None
    few = (*before.ids, ids) if len(before.ids) < 9 else (before.ids[0], frozenset().union(*before.ids[1:], ids))
    last = new[-1][:2] if new else before.last
    entries = onward(before.entries, (record[-1] for record in new)) if new else before.entries
    return Journal(entries, _faults(files, before.clashes), files, last, few, before.clashes, before.entries)


def _merged(files: tuple[JournalFile, ...]) -> Journal:
    """The journal that files make, whatever was read before."""
    found: dict[str, _Record] = {}
    copies: list[_Record] = []
    line_of = _lines_of(files)

    def precedence(record: _Record) -> tuple[float, bytes]:
        """Of two lines under one id the one written first is taken; how a line ends makes no difference."""
        return record[0], line_of(record).removesuffix(b"\r")

    for file in files:
        for this in file.records:
            other = found.setdefault(this[1], this)
            if other is not this:
                found[this[1]], copy = sorted((other, this), key=precedence)
                copies.append(copy)
    clashes = tuple(_clash(found[copy[1]], copy) for copy in copies if precedence(copy) != precedence(found[copy[1]]))
    records = sorted(found.values())  # no two have one id
    last = records[-1][:2] if records else None
    entries = tuple([record[-1] for record in records])
    return Journal(entries, _faults(files, clashes), files, last, (frozenset(found),), clashes)


def _lines_of(files: Iterable[JournalFile]) -> Callable[[_Record], bytes]:
    """What gives the line of a record; a file is split when one of its lines is first asked for."""
    data = {file.path: b"".join(file.data) for file in files}
    split: dict[Path, list[bytes]] = {}

    def line_of(record: _Record) -> bytes:
        path, number = record[2], record[3]
        if path not in split:
            split[path] = data[path].split(b"\n")
        return split[path][number - 1]

    return line_of


def _faults(files: Iterable[JournalFile], clashes: Iterable[Problem]) -> tuple[Problem, ...]:
    """All that is wrong with the files, by file and line."""
    found = [*clashes, *(fault for file in files for fault in (*file.faults, *file.end))]
    return tuple(sorted(found, key=lambda fault: (fault.file, fault.line)))


def _clash(first: _Record, second: _Record) -> Problem:
    _, _, kept, at_line, entry = first
    _, _, path, line, _ = second
    return Problem(
        str(path),
        line,
        f"the line disagrees about {entry.id!r} with line {at_line} of {kept.name}, which was used",
        "Check which of the two is right; undo or correct the other on the screen.",
    )
