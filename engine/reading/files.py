"""Read a file that a grower names: whole, but nothing without end, and nothing larger than a grower writes."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

from engine.reading.limits import LARGEST_FILE


def read_whole(path: Path, most: int = LARGEST_FILE) -> bytes:
    """The bytes of a file. Raises OSError, with ENODEV for a device and EFBIG for more bytes than `most`."""
    with path.open("rb") as file:
        if stat.S_ISCHR(os.fstat(file.fileno()).st_mode):  # a terminal, or what gives zeros without end
            raise OSError(errno.ENODEV, "it is a device, not a file")
        data = file.read(most + 1)
    if len(data) > most:
        raise OSError(errno.EFBIG, f"it is larger than {most // 1_000_000} MB")
    return data


def read_text(path: Path) -> str:
    """The text of such a file, its lines ended alike. Raises as `read_whole` does, and UnicodeDecodeError."""
    return read_whole(path).decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
