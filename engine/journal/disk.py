"""The journal's bytes on the disk: written whole or not at all, by one writer at a time where that can be had.

Where a file system's locks fail, or hold nobody off, a writer is told so, and writes to a file that it alone has.
"""

import errno
import os
import stat
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from time import sleep
from typing import BinaryIO, Final, TypeAlias

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

LOCK_FILE: Final = ".lock"

_POLL_S: Final = 0.005
_END: Final = 4_096
"""So many bytes of a file's end are looked at first for where its last whole line ends."""
Stamp: TypeAlias = tuple[int, ...]
_APPEND: Final = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)
_REASONS: Final = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.EFBIG: "the file has reached its size limit",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "access is not allowed",
    errno.EPERM: "access is not allowed",
    errno.ENOENT: "the folder is not there",
    errno.EIO: "the disk reports a fault",
    errno.EISDIR: "a folder stands where the file should be",
    errno.EEXIST: "something else stands where the folder should be",
    errno.ENOTDIR: "something else stands where the folder should be",
    errno.ENODEV: "it is not a file on a disk",
}
_IN_THE_WAY: Final = (errno.EISDIR, errno.EEXIST, errno.ENOTDIR, errno.ENODEV)
_APART: Final = "Move it somewhere else"
_REMEDY: Final = "Make room or allow writing there"
_ALLOW: Final = "Allow this user to read it"


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


@contextmanager
def plain_failure(path: Path) -> Iterator[None]:
    """What the system says of a file that could not be written, as `JournalUnwritable` in plain words."""
    try:
        yield
    except OSError as failure:
        do = _APART if failure.errno in _IN_THE_WAY else _REMEDY
        told = f"{path} could not be written: {reason(failure)}"
        raise JournalUnwritable(told, f"Nothing was recorded. {do}, then do it again.") from failure


def reason(failure: OSError) -> str:
    """Why the system refused, in plain words."""
    return _REASONS.get(failure.errno or 0) or failure.strerror or str(failure)


def unread(failure: OSError) -> tuple[str, str]:
    """Why the system refused to let something be read, and what helps."""
    if failure.errno == errno.ENOENT:  # a name of which the folder told
        return "it is a link to what is not there", "Bring that back or take the link away, then open the farm again."
    do = _APART if failure.errno in _IN_THE_WAY else _ALLOW
    return reason(failure), f"{do}, then open the farm again."


@contextmanager
def opened(path: Path) -> Iterator[BinaryIO]:
    """A file that lies on a disk, open to be read. Raises OSError, also for what would keep its reader waiting."""
    with open(path, "rb", opener=_without_waiting) as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise OSError(errno.ENODEV, os.strerror(errno.ENODEV))
        yield file


def _without_waiting(path: str, flags: int) -> int:
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def flush(file: int) -> None:
    """See an open file's bytes on the disk."""
    if sys.platform == "darwin":  # where fsync leaves the bytes in the drive's own memory
        with suppress(OSError):
            fcntl.fcntl(file, fcntl.F_FULLFSYNC)
            return
    os.fsync(file)


def flush_folder(folder: Path) -> None:
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


def repair(path: Path) -> None:
    """Move what follows the last whole line to a side file, which is on the disk before the line is cut."""
    try:
        with opened(path) as file:
            size = file.seek(0, os.SEEK_END)
            end, back = b"", 0
            while back < size and b"\n" not in end:  # from its end, for a file of twenty years is long
                back = min(size, max(_END, 2 * back))
                file.seek(size - back)
                end = file.read(back)
    except FileNotFoundError:
        return
    cut = end[end.rfind(b"\n") + 1 :]
    if not cut:
        return
    whole = size - len(cut)
    with open(path.with_suffix(".torn"), "ab") as side:
        side.write(cut + b"\n")
        side.flush()
        flush(side.fileno())
    flush_folder(path.parent)
    with open(path, "r+b") as torn:
        torn.truncate(whole)
        flush(torn.fileno())


def stamp(told: os.stat_result) -> Stamp:
    """By which a file that was read is known to be as it was."""
    return told.st_dev, told.st_ino, told.st_size, told.st_mtime_ns, told.st_ctime_ns


def write(path: Path, lines: bytes) -> tuple[Stamp, Stamp]:
    """Append the lines in one write and see them on the disk; on any failure take them back and raise.

    The file's stamp just before is returned, and the one since.
    """
    is_new = not path.exists()
    file = os.open(path, _APPEND, 0o666)
    try:
        was = os.fstat(file)
        try:
            written = os.write(file, lines)
            if written != len(lines):  # a disk that fills up takes what it can and reports no error
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            flush(file)
            flush_folder(path.parent)
        except BaseException as failure:
            try:
                os.ftruncate(file, was.st_size)
            except OSError:
                raise JournalUnwritable(
                    f"{path} could not be written, nor could the part that was written be removed",
                    "Open the farm again and check whether the last entry is there before you repeat it.",
                ) from failure
            with suppress(OSError):
                flush(file)
                if is_new:
                    path.unlink()
            raise
        return stamp(was), stamp(os.fstat(file))
    finally:
        os.close(file)


@contextmanager
def alone(folder: Path, patience_s: float) -> Iterator[bool]:
    """Hold the journal against every other writer on this machine: True; False where its locks hold nobody off.

    The lock is the system's, on a file of its own, so it is free again whenever its holder ends, killed or not.
    The holder's process number is written into the file only for the message. Raises `JournalBusy`.
    """
    with plain_failure(folder):
        if not folder.is_dir():
            folder.mkdir(exist_ok=True)
            flush_folder(folder.parent)
        handle = os.open(folder / LOCK_FILE, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        held = _hold(folder, handle, patience_s)
        try:
            yield held
        finally:
            if held:
                _release(handle)
    finally:
        os.close(handle)


def _hold(folder: Path, handle: int, patience_s: float) -> bool:
    """Take the lock, waiting for it. Whether it holds anybody off: a second one is tried, and must be refused."""
    tries_left = max(1, round(patience_s / _POLL_S))
    try:
        while not _take(handle):
            tries_left -= 1
            if not tries_left:
                holder = os.read(handle, 20).decode("ascii", "replace").strip() or "unknown"
                raise JournalBusy(
                    f"the journal is being written by another Widger (process {holder})",
                    "Nothing was recorded. Wait a moment and do it again, or close the other window.",
                )
            sleep(_POLL_S)
        other = os.open(folder / LOCK_FILE, os.O_RDWR)
        try:
            if _take(other):
                return False
        finally:
            os.close(other)
    except OSError:  # some network disks know no locks at all
        return False
    with suppress(OSError):
        os.ftruncate(handle, 0)
        os.lseek(handle, 0, os.SEEK_SET)
        os.write(handle, b"%d\n" % os.getpid())
    return True


if sys.platform == "win32":
    _LOCKED_BYTE: Final = 4096  # beyond the process number, which others must be able to read

    def _take(handle: int) -> bool:
        os.lseek(handle, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError as failure:
            if failure.errno not in (errno.EACCES, errno.EDEADLK):
                raise
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True

    def _release(handle: int) -> None:
        with suppress(OSError):
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
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_UN)
