"""Find the line of a table or key in TOML text; the standard reader keeps none, so they are looked up when wanted."""

from __future__ import annotations

import re
from collections.abc import Callable

import tomli

from engine.reading.paths import Path

_HEADER = re.compile(r"^\s*(\[\[?)\s*(.+?)\s*\]\]?\s*(?:#.*)?$")
_NAME = r"""(?:"(?:[^"\\]|\\.)*"|'[^']*'|[A-Za-z0-9_-]+)"""
_KEY = re.compile(rf"^\s*({_NAME}(?:\s*\.\s*{_NAME})*)\s*=")
_INLINE_KEY = re.compile(rf"[{{,]\s*({_NAME})\s*=")
_PART = re.compile(r"""\s*(?:"((?:[^"\\]|\\.)*)"|'([^']*)'|([A-Za-z0-9_-]+))\s*\.?""")


def line_finder(text: str) -> Callable[[Path], int]:
    """A function from a path to its line (from 1): of the key itself, else of the nearest table around it, else 0."""
    lines = _scan(text)

    def line_of(path: Path) -> int:
        for length in range(len(path), 0, -1):
            if path[:length] in lines:
                return lines[path[:length]]
        return 0

    return line_of


def _scan(text: str) -> dict[Path, int]:
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    here: Path = ()
    path: Path = ()
    items = 0
    pending: list[str] = []  # the lines of a value that is not closed yet
    # Only these end a line of TOML; splitlines() would count others, such as U+2028 in a comment.
    for number, line in enumerate(text.replace("\r\n", "\n").split("\n"), 1):
        if pending:
            if line.lstrip().startswith("{"):  # one of a list of tables, each on its line
                found.setdefault((*path, items), number)
                items += 1
            pending.append(line)
            if _closed("\n".join(pending)):
                pending = []
            continue
        if (header := _HEADER.match(line)) and not _KEY.match(line):
            here = _enter(_split(header[2]), header[1] == "[[", counts)
            for length in range(1, len(here) + 1):
                found.setdefault(here[:length], number)
        elif key := _KEY.match(line):
            path = (*here, *_split(key[1]))
            for length in range(len(here) + 1, len(path) + 1):
                found.setdefault(path[:length], number)
            _inline_keys(line[key.end() :], path, number, found)
            if not _closed(line):
                pending, items = [line], line.count("{")
    return found


def _enter(parts: Path, repeated: bool, counts: dict[Path, int]) -> Path:
    """The path of a table header: a name that repeats stands with the index of its latest table."""
    path: Path = ()
    for position, part in enumerate(parts):
        path = (*path, part)
        if repeated and position == len(parts) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _split(dotted: str) -> Path:
    return tuple(_plain(m) for m in _PART.finditer(dotted) if m.group(0).strip())


def _plain(part: re.Match[str]) -> str:
    quoted, literal, bare = part.groups()
    if quoted is None:
        return literal if literal is not None else bare
    return str(tomli.loads(f'key = "{quoted}"')["key"]) if "\\" in quoted else quoted


def _inline_keys(rest: str, path: Path, number: int, found: dict[Path, int]) -> None:
    for key in _INLINE_KEY.findall(rest):
        found.setdefault((*path, *_split(key)), number)


def _closed(statement: str) -> bool:
    try:
        tomli.loads(statement)
    except tomli.TOMLDecodeError:
        return False
    return True
