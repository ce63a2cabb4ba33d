"""The library's tables, found by name: TOML is what is written, a compiled copy is what a start reads.

To read all of the TOML takes longer than to draw the board, and which file tells of a species only its text says. So
the first reading writes its tables out as JSON, a line each, behind a list of what each line is about; later ones look
up what they want. The copy bears a check sum of the files that it was made of, and where that is not theirs it is made
anew: nobody has to know that it is there, and where it cannot be written the TOML is read every time. Whether they are
the same files is seen by their sizes and by when each was last touched, which no archive sets; else they are read.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from threading import get_ident
from typing import Any, NamedTuple
from zlib import crc32

import tomli

SPECIES, METHOD, PROTOCOL, REST = "species", "method", "protocol", "rest"
"""What a table is: a species, a general method, a species' protocol, or what of a file is none of these."""
_FORMAT = 2
"""To be raised where what is written here changes."""
_NAME = "library.json"
_PARTS = ("methods", "species")


class Entry(NamedTuple):
    """One table: what it is, its file under the library's folder, and which of its kind there it is, from 0.

    `names` are those of the species or method, its own first; of a protocol, its species and its method.
    """

    kind: str
    file: str
    number: int
    names: Sequence[str]
    begins: int
    ends: int
    """The bytes of the table in `Tables.lines`."""


class Tables(NamedTuple):
    """Every table of the library, in the order of its files: the general methods first."""

    rows: Sequence[Sequence[Any]]
    """What each Entry holds: of a thousand a farm wants some fifty."""
    lines: bytes | memoryview

    @property
    def entries(self) -> Iterator[Entry]:
        """All of them."""
        return map(Entry._make, self.rows)

    def line(self, entry: Entry) -> bytes:
        """A table, as JSON."""
        return bytes(self.lines[entry.begins : entry.ends])


def read_tables(folder: Path) -> Tables:
    """The tables of the methods and species of a library's folder. Raises TOMLDecodeError, which names the file."""
    seen = _seen(folder)
    for home in _homes(folder):
        if (found := _kept(home, seen)) is not None:
            return found
    texts = tuple(_texts(folder))
    stamp = _check_of(b"".join(part for name, text in texts for part in (name.encode(), b"\n", text)))
    tables = next((found for home in _homes(folder) if (found := _kept(home, stamp)) is not None), None)
    tables = tables or _compile(texts)
    _keep(folder, stamp, seen, tables)
    return tables


def _seen(folder: Path) -> bytes:
    """What shows without reading them whether the files are those of another time."""
    told = []
    for part in _PARTS:
        with suppress(FileNotFoundError), os.scandir(folder / part) as files:
            for file in files:
                if file.name.endswith(".toml"):
                    is_ = file.stat()
                    told.append(f"{part}/{file.name} {is_.st_size} {is_.st_mtime_ns} {is_.st_ctime_ns}")
    return _check_of("\n".join(sorted(told)).encode())


def _texts(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Every file of the methods and species, by its name in the folder."""
    for part in _PARTS:
        try:
            names = sorted(name for name in os.listdir(folder / part) if name.endswith(".toml"))
        except FileNotFoundError:
            continue
        for name in names:
            with open(f"{folder}/{part}/{name}", "rb") as file:  # pathlib's own opening takes as long again
                yield f"{part}/{name}", file.read()


def _check_of(data: bytes) -> bytes:
    """Length and CRC-32: it tells any slip apart, and nobody forges his own library."""
    return b"%d:%d" % (len(data), crc32(data))


@lru_cache(maxsize=1)  # for where it cannot be written
def _compile(texts: tuple[tuple[str, bytes], ...]) -> Tables:
    entries: list[Entry] = []
    lines: list[bytes] = []
    at = 0
    for file, text in texts:
        try:
            document = tomli.loads(text.decode("utf-8"))
        except ValueError as fault:
            fault.add_note(f"in the library's {file}")
            raise
        for kind, number, names, table in _tables_of(document):
            line = json.dumps(table, ensure_ascii=False, separators=(",", ":"), default=str).encode() + b"\n"
            entries.append(Entry(kind, file, number, names, at, at + len(line)))
            lines.append(line)
            at += len(line)
    return Tables(tuple(entries), b"".join(lines))


def _tables_of(document: dict[str, Any]) -> Iterator[tuple[str, int, tuple[str, ...], dict[str, Any]]]:
    rest: dict[str, Any] = {}
    for key, value in document.items():
        if key not in ("species", "protocol") or not isinstance(value, list):
            rest[key] = value
            continue
        for number, table in enumerate(value):
            if key == "species":
                yield SPECIES, number, _named(table, "latin", "common"), table
            elif "species" in table:
                yield PROTOCOL, number, (str(table["species"]), str(table.get("method", ""))), table
            else:
                yield METHOD, number, _named(table, "method", "also"), table
    if rest:
        yield REST, 0, (), rest


def _named(table: dict[str, Any], key: str, others: str) -> tuple[str, ...]:
    """The name of a table and its other names; what is no text was written by mistake, and its reader says so."""
    more = table.get(others)
    return str(table.get(key, "")), *(str(name) for name in (more if isinstance(more, list) else [more]) if name)


# -- the copy on the disk: a line that says what it is made of, a line of entries, then the tables


def _homes(folder: Path) -> Iterator[Path]:
    """Where the copy may be: beside the library, as Python keeps its own; else in the user's folder for such things."""
    yield folder / "__pycache__" / _NAME
    from platformdirs import user_cache_path  # only where the package lies in a folder that is not the user's

    yield user_cache_path("widger") / f"{crc32(str(folder).encode()):08x}-{_NAME}"


def _kept(home: Path, stamp: bytes) -> Tables | None:
    """The copy that is kept there; None where there is none, or it is another's, an older one's or cut short.

    It is known by the files that it was made of: by what is in them, or as they were seen.
    """
    try:
        with open(home, "rb") as file:
            head, data = file.readline(), file.read()
    except OSError:
        return None
    told = head.split()
    if len(told) != 4 or stamp not in told[1:3] or head != _head(told[1], told[2], data):
        return None
    begins = data.index(b"\n") + 1
    return Tables(json.loads(data[:begins]), memoryview(data)[begins:])


def _head(stamp: bytes, seen: bytes, data: bytes) -> bytes:
    """What the copy was made of, and that it is whole: only what bears this is read any further."""
    return b"%d %b %b %b\n" % (_FORMAT, stamp, seen, _check_of(data))


def _keep(folder: Path, stamp: bytes, seen: bytes, tables: Tables) -> None:
    """Write the copy where it can be. It is put in its place whole: others may be reading, or writing the same."""
    entries = json.dumps(tables.rows, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
    data = entries + tables.lines
    for home in _homes(folder):
        mine = home.with_name(f"{home.name}.{os.getpid()}.{get_ident()}")
        try:
            home.parent.mkdir(parents=True, exist_ok=True)
            mine.write_bytes(_head(stamp, seen, data) + data)
            mine.replace(home)
        except OSError:
            with suppress(OSError):
                mine.unlink()
            continue
        return
