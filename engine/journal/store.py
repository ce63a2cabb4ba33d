"""The journal on disk: one append-only file of entries for each device, in a folder beside the farm file.

Each device writes only to its own file, so any program that syncs files carries a farm between shed and office
without conflicts. Reading merges all files to the same result in whatever order they came. An append is on the
disk before it returns; one that fails leaves the file as it was.
"""

import errno
import os
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from itertools import chain
from pathlib import Path
from time import sleep
from typing import Final, TypeAlias

from engine.journal.corrections import CORRECT, corrected
from engine.journal.entry import Entry, LineError, parse_all, to_line, torn
from engine.reading.problems import Problem

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

LOCK_FILE: Final = ".lock"
PATIENCE_S: Final = 5.0
"""How long an append waits for another one to end, in seconds."""

_POLL_S: Final = 0.005
_DEVICE: Final = re.compile(r"[A-Za-z0-9_-]+")
_APPEND: Final = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)
_REASONS: Final = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.EFBIG: "the file may not grow any further",
    errno.EROFS: "the disk can only be read",
    errno.EACCES: "access is not allowed",
    errno.EPERM: "access is not allowed",
    errno.ENOENT: "the folder is not there",
    errno.EIO: "the disk reports a fault",
}
_ALLOW: Final = "Allow this user to read it, then open the farm again."
_REMEDY: Final = "Nothing was recorded. Make room or allow writing there, then do it again."


_Record: TypeAlias = tuple[float, str, bytes, Path, int, Entry]
"""An entry as it was found: its instant and id, its line, and the file and number of that line."""


class JournalError(Exception):
    """The journal cannot do what was asked: ``message`` says why, ``hint`` what to do about it."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message, hint)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        return self.message


class JournalBusy(JournalError):
    """Another Widger held the journal for as long as an append may wait."""


class JournalUnwritable(JournalError):
    """The disk refused the entries; the journal is as it was."""


class JournalClash(JournalError):
    """An entry was to be written under an id that the journal has already."""


def journal_folder(farm_file: Path) -> Path:
    """The folder of a farm's journal: ``NAME.journal`` beside ``NAME.toml``."""
    name = farm_file.stem if farm_file.suffix.lower() == ".toml" else farm_file.name
    return farm_file.with_name(f"{name}.journal")


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
        names = sorted(name for name in os.listdir(folder) if name.endswith(".jsonl"))
    except FileNotFoundError:
        return (), ()
    except OSError as failure:
        return (), (Problem(str(folder), 0, f"the journal cannot be read: {_reason(failure)}", _ALLOW),)
    for name in names:
        path = folder / name
        try:
            lines = path.read_bytes().split(b"\n")
        except OSError as failure:
            faults.append(Problem(str(path), 0, f"the file cannot be read: {_reason(failure)}", _ALLOW))
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
    patience_s: float = PATIENCE_S,
) -> tuple[Entry, ...]:
    """Write what ``make`` answers to the journal as it stands now, and return it once it is on the disk.

    ``make`` gets all entries, read afresh while no other Widger can write; whatever it raises passes through
    and nothing is written. A torn line at the end of the device's file is first moved to ``DEVICE.torn``. Raises
    ValueError for a device's name or an entry that cannot be written, `JournalBusy`, `JournalClash` or
    `JournalUnwritable`; after each of these the file holds the whole lines it held before.
    """
    if not _DEVICE.fullmatch(device):
        raise ValueError(
            f"the device's name {device!r} may have only the letters a to z, digits, dashes and underscores; "
            "call it for instance shed-laptop"
        )
    path = folder / f"{device}.jsonl"
    with _locked(folder, patience_s):
        with _plain_failure(path):
            _repair(path)
        known = read_journal(folder)[0]
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
            with _plain_failure(path):
                _write(path, lines)
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
        f"the line tells something else of {entry.id!r} than line {at_line} of {kept.name}, which was taken",
        "See which of the two is right; undo or record again at the screen what is not.",
    )


def _repair(path: Path) -> None:
    """Move what follows the last whole line to a side file, which is on the disk before the line is cut."""
    try:
        held = path.read_bytes()
    except FileNotFoundError:
        return
    whole = held.rfind(b"\n") + 1
    if whole == len(held):
        return
    with open(path.with_suffix(".torn"), "ab") as side:
        side.write(held[whole:] + b"\n")
        side.flush()
        _flush(side.fileno())
    _flush_folder(path.parent)
    with open(path, "r+b") as file:
        file.truncate(whole)
        _flush(file.fileno())


def _write(path: Path, lines: bytes) -> None:
    """Append the lines in one write and see them on the disk; on any failure take them back and raise."""
    is_new = not path.exists()
    file = os.open(path, _APPEND, 0o666)
    try:
        before = os.fstat(file).st_size
        try:
            written = os.write(file, lines)
            if written != len(lines):  # a disk that fills up takes what it can and reports no error
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            _flush(file)
            _flush_folder(path.parent)
        except BaseException as failure:
            try:
                os.ftruncate(file, before)
            except OSError:
                raise JournalUnwritable(
                    f"{path} could not be written, nor could the part that was written be taken back",
                    "Open the farm again and see whether the last thing is there before you do it again.",
                ) from failure
            with suppress(OSError):
                _flush(file)
                if is_new:
                    path.unlink()
            raise
    finally:
        os.close(file)


@contextmanager
def _plain_failure(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as failure:
        raise JournalUnwritable(f"{path} could not be written: {_reason(failure)}", _REMEDY) from failure


def _reason(failure: OSError) -> str:
    return _REASONS.get(failure.errno or 0) or failure.strerror or str(failure)


def _flush(file: int) -> None:
    if sys.platform == "darwin":  # where fsync leaves the bytes in the drive's own memory
        with suppress(OSError):
            fcntl.fcntl(file, fcntl.F_FULLFSYNC)
            return
    os.fsync(file)


def _flush_folder(folder: Path) -> None:
    """See the names in a folder on the disk, where the system can: Windows does it by itself."""
    if sys.platform != "win32":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        except OSError as failure:
            if failure.errno not in (errno.EINVAL, errno.ENOTSUP):  # a network disk that knows no such thing
                raise
        finally:
            os.close(handle)


@contextmanager
def _locked(folder: Path, patience_s: float) -> Iterator[None]:
    """Hold the journal against every other writer on this machine.

    The lock is the system's, on a file of its own, so it is free again whenever its holder ends, killed or not.
    The holder's process number is written into the file only for the message.
    """
    with _plain_failure(folder):
        if not folder.is_dir():
            folder.mkdir(exist_ok=True)
            _flush_folder(folder.parent)
        handle = os.open(folder / LOCK_FILE, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        tries_left = max(1, round(patience_s / _POLL_S))
        with _plain_failure(folder):
            while not _take(handle):
                tries_left -= 1
                if not tries_left:
                    holder = os.read(handle, 20).decode("ascii", "replace").strip() or "unknown"
                    raise JournalBusy(
                        f"the journal is being written by another Widger (process {holder})",
                        "Nothing was recorded. Wait a moment and do it again, or close the other window.",
                    )
                sleep(_POLL_S)
        with suppress(OSError):
            os.ftruncate(handle, 0)
            os.lseek(handle, 0, os.SEEK_SET)
            os.write(handle, b"%d\n" % os.getpid())
        try:
            yield
        finally:
            _release(handle)
    finally:
        os.close(handle)


if sys.platform == "win32":
    _LOCKED_BYTE: Final = 4096  # beyond the process number, which others must be able to read

    def _take(handle: int) -> bool:
        os.lseek(handle, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True

    def _release(handle: int) -> None:
        os.lseek(handle, _LOCKED_BYTE, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)

else:

    def _take(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _release(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)
