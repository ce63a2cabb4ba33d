"""The patterns that are compiled while Textual is imported, kept: Python compiles each anew in every process.

What is kept is what Python's compiler made of a pattern, known by the pattern, its flags and the Python that made it;
Python checks it before it is used. What is cut short, another Python's or not there is made anew, and a Python that
compiles otherwise goes without. Nobody has to know that the file is there.
"""

from __future__ import annotations

import json
import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from pathlib import Path
from typing import Any
from zlib import crc32

HOME = Path(__file__).parent / "__pycache__" / "patterns.json"
"""Beside this module's own compiled file; where that cannot be written, neither can this."""


@contextmanager
def kept(home: Path = HOME) -> Iterator[None]:
    """Take from the file the patterns that are compiled meanwhile, and keep there those that were not in it."""
    try:
        found: list[Any] = [import_module(name) for name in ("_sre", "re._parser", "re._compiler")]
        sre, parser, compiler = found
        own, build, code_of, by = compiler.compile, sre.compile, compiler._code, f"{sys.version} {sre.MAGIC}"
    except (ImportError, AttributeError):
        yield
        return
    known, used = _read(home, by), dict[str, list[Any]]()

    def compiled(pattern: Any, flags: int = 0) -> Any:
        if not isinstance(pattern, str) or flags & re.DEBUG:
            return own(pattern, flags)
        key = f"{int(flags)} {pattern}"
        try:
            used[key] = made = known.get(key) or _made(pattern, flags)
            return build(pattern, *made[:4], tuple(made[4]))
        except (TypeError, ValueError, IndexError, AttributeError, RuntimeError, OverflowError):
            return own(pattern, flags)

    def _made(pattern: str, flags: int) -> list[Any]:
        tree = parser.parse(pattern, flags)
        names: list[str | None] = [None] * tree.state.groups
        for name, number in tree.state.groupdict.items():
            names[number] = name
        code = list(map(int, code_of(tree, flags)))
        return [flags | tree.state.flags, code, tree.state.groups - 1, tree.state.groupdict, names]

    compiler.compile = compiled
    try:
        yield
    finally:
        compiler.compile = own
    if not used.keys() <= known.keys() and not sys.dont_write_bytecode:
        _write(home, by, used)


def _read(home: Path, by: str) -> dict[str, list[Any]]:
    """What the file keeps; nothing where it is not there, not whole, or another Python's."""
    try:
        head, data = home.read_bytes().split(b"\n", 1)
        told = json.loads(data) if head == _check_of(data) else {}
    except (OSError, ValueError):
        return {}
    return told["patterns"] if told.get("python") == by else {}


def _write(home: Path, by: str, patterns: dict[str, list[Any]]) -> None:
    """Keep these. The file is put in its place whole: others may be reading, or writing the same."""
    data = json.dumps({"python": by, "patterns": patterns}, separators=(",", ":")).encode()
    mine = home.with_name(f"{home.name}.{os.getpid()}")
    try:
        home.parent.mkdir(parents=True, exist_ok=True)
        mine.write_bytes(_check_of(data) + b"\n" + data)
        mine.replace(home)
    except OSError:
        with suppress(OSError):
            mine.unlink()


def _check_of(data: bytes) -> bytes:
    """Length and CRC-32: it tells any slip."""
    return b"%d:%d" % (len(data), crc32(data))
