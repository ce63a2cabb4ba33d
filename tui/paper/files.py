"""A file that was asked for on paper's way, a PDF or a drawing: put where it is wanted whole, or not at all."""

from __future__ import annotations

import os
from pathlib import Path

PDF = ("a PDF", (b"%PDF-",))
SVG = ("an SVG", (b"<svg", b"<?xml"))
"""What a file is called, and how it begins."""


class NotWritten(Exception):
    """The file cannot be put where it was asked for."""


def put(path: Path, data: bytes, kind: tuple[str, tuple[bytes, ...]] = PDF) -> None:
    """Write a file whole or not at all; one of its kind that is there is replaced, any other is left alone.

    Raises NotWritten with the reason.
    """
    target = Path(os.path.realpath(path))  # a link stays a link
    try:
        mode = _replaceable(target, path, *kind)
        spare = target.with_name(f".{target.name[:100]}.{os.urandom(6).hex()}")
        handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            if mode is not None:
                os.chmod(spare, mode)
            os.replace(spare, target)
        except BaseException:
            spare.unlink(missing_ok=True)
            raise
    except OSError as fault:
        raise NotWritten(f"{path} cannot be written: {fault.strerror or fault}") from None


def _replaceable(target: Path, path: Path, called: str, begins: tuple[bytes, ...]) -> int | None:
    """The mode of the file that lies there, None where none does. Raises NotWritten where it must not be replaced."""
    if not target.exists():
        return None
    if target.is_dir():
        raise NotWritten(f"{path} is a folder; name a file in it")
    if not target.is_file():
        raise NotWritten(f"{path} is not a regular file; name another")
    if not os.access(target, os.W_OK):
        raise NotWritten(f"{path} cannot be written: it is read-only")
    with target.open("rb") as file:
        held = file.read(5)
    if held and not held.startswith(begins):
        raise NotWritten(f"{path} already exists and is not {called}; nothing was changed")
    return target.stat().st_mode & 0o777
