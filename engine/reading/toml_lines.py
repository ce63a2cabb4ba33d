"""Find the line of a table or key in TOML text; the standard reader keeps none, so they are looked up when wanted."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import suppress

import tomli

from engine.reading.paths import Path

# Of a text that the reader has taken. Only "\n" ends a line of TOML: others, such as U+2028, may stand in a comment.
_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|#[^\n]*"
    r"|\n"
    r"|[\[\]{},=]"
    r"|[^\s\[\]{},=#\"']+",
    re.DOTALL,
)
_PART = re.compile(r"""\s*(?:("(?:[^"\\]|\\.)*"|'[^']*')|([^\s."']+))""")
_END = ""


def line_finder(text: str) -> Callable[[Path], int]:
    """A function from a path to its line (from 1): of the key itself, else of the nearest table around it, else 0."""
    scan = _Scan(text.replace("\r\n", "\n"))
    with suppress(RecursionError):  # lists in lists without end: what stands before them was found
        scan.document()
    lines = scan.found

    def line_of(path: Path) -> int:
        for length in range(len(path), 0, -1):
            if path[:length] in lines:
                return lines[path[:length]]
        return 0

    return line_of


class _Scan:
    """One walk over the tokens of a text; `found` has the line of every table, key and item of a list."""

    def __init__(self, text: str) -> None:
        self.found: dict[Path, int] = {}
        self._counts: dict[Path, int] = {}
        self._tokens = self._numbered(text)
        self._next()

    def _numbered(self, text: str) -> Iterator[tuple[str, int, int]]:
        line = 1
        for token in _TOKEN.finditer(text):
            if not token[0].startswith("#"):
                yield token[0], line, token.start()
            line += token[0].count("\n")

    def _next(self) -> str:
        """Go on to the next token, and give the one that was here."""
        was = getattr(self, "token", _END)
        self.token, self.line, self._at = next(self._tokens, (_END, 0, 0))
        return was

    def _skip_lines(self) -> None:
        while self.token == "\n":
            self._next()

    def document(self) -> None:
        """Walk over the whole text."""
        here: Path = ()
        while self.token != _END:
            line, at = self.line, self._at
            if self.token == "[":
                self._next()
                if repeated := self.token == "[" and self._at == at + 1:
                    self._next()
                here = self._enter(self._key("]"), repeated)
                for length in range(1, len(here) + 1):
                    self.found.setdefault(here[:length], line)
            elif self.token != "\n":
                self._pair(here)
            while self.token not in ("\n", _END):
                self._next()
            self._next()

    def _enter(self, parts: Path, repeated: bool) -> Path:
        """The path of a table header: a name that repeats stands with the index of its latest table."""
        path: Path = ()
        for position, part in enumerate(parts):
            path = (*path, part)
            if repeated and position == len(parts) - 1:
                self._counts[path] = self._counts.get(path, -1) + 1
            if path in self._counts:
                path = (*path, self._counts[path])
        return path

    def _key(self, end: str) -> Path:
        """The parts of a dotted key, and on to what ends it."""
        text = ""
        while self.token not in (end, "\n", _END):
            text += self._next()
        return tuple(_plain(part[1] or part[2]) for part in _PART.finditer(text))

    def _pair(self, table: Path) -> None:
        """A key and its value."""
        line, parts = self.line, self._key("=")
        for length in range(1, len(parts) + 1):
            self.found.setdefault((*table, *parts[:length]), line)
        self._next()
        self._value((*table, *parts))

    def _value(self, path: Path) -> None:
        if self.token == "{":
            self._next()
            self._skip_lines()
            while self.token not in ("}", _END):
                self._pair(path)
                self._between()
            self._next()
        elif self.token == "[":
            self._next()
            self._skip_lines()
            item = 0
            while self.token not in ("]", _END):
                self.found.setdefault((*path, item), self.line)
                self._value((*path, item))
                self._between()
                item += 1
            self._next()
        else:
            while self.token not in (",", "]", "}", "\n", _END):
                self._next()

    def _between(self) -> None:
        """On past the comma and the line ends between two items."""
        self._skip_lines()
        if self.token not in ("]", "}", _END):
            self._next()
        self._skip_lines()


def _plain(part: str) -> str:
    if part.startswith("'"):
        return part[1:-1]
    if not part.startswith('"'):
        return part
    return str(tomli.loads(f"key = {part}")["key"]) if "\\" in part else part[1:-1]
