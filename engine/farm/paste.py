"""What a grower would write into the farm file: tried by the file's own reader, and told as lines to paste.

The file is the grower's own: nothing here writes to it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, TypeAlias

from engine.farm.model import Farm
from engine.farm.reading import Reading, parsed, read_document
from engine.reading.frozen import dataclass
from engine.reading.paths import Path
from engine.reading.toml_lines import line_finder

Change: TypeAlias = tuple[Path, Any]
"""Where in the file, by the names of tables and key, and what should stand there; None: nothing."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_QUOTED = re.compile(r'"(?:\\.|[^"\\])*"|\'[^\']*\'|#.*')
_MISSING = object()
_ITS_OWN = ("id", "count", "start", "ready", "note", "came")
"""What a batch has for itself, whatever the site is like."""


class NotSo(ValueError):
    """What the farm file cannot say, with its remedy."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Paste:
    """Lines for the farm file, and where they belong."""

    where: str
    text: str


@dataclass(frozen=True, slots=True)
class Written:
    """A farm file as it was read: what stands in it, and where. Changes are tried on it, one after another."""

    reading: Reading
    file: str
    document: Mapping[str, Any]
    lines: Sequence[str]
    line_of: Callable[[Path], int]


def written(reading: Reading, file: str, one_of_each: bool = False) -> Written:
    """A file that was read, for changes of it.

    With `one_of_each`, of batches that differ in nothing that the site bears on only the first stands there: the farms
    that are tried lack the others, and a letter typed need not wait until thousands are read.
    """
    document = parsed(reading.text)
    if one_of_each and isinstance(batches := document.get("batch"), list):
        kinds = {repr(sorted((k, v) for k, v in each.items() if k not in _ITS_OWN)): each for each in reversed(batches)}
        document["batch"] = [*reversed(kinds.values())]
    return Written(reading, file, document, reading.text.split("\n"), line_finder(reading.text))


def tried(there: Written, changes: Iterable[Change]) -> Farm:
    """The farm as it would be with these changes in its file. Raises NotSo with the first new fault that is found."""
    document = there.document
    for path, value in changes:
        document = _with(document, path, value)
    found = read_document(document, "", there.file)  # without its text: in which line a fault stands is not asked
    known = {(problem.message, problem.hint) for problem in there.reading.problems}
    for problem in found.problems:
        if (problem.message, problem.hint) not in known:
            raise NotSo(problem.message, problem.hint)
    if found.farm is None:
        raise NotSo("the farm could not be read then")
    return found.farm


def pastes(there: Written, changes: Sequence[Change]) -> tuple[Paste, ...]:
    """The changes as lines for a farm file, those for one place together; none for what stands so."""
    document, line_of, lines = there.document, there.line_of, there.lines
    found: dict[tuple[str, str], list[str]] = {}
    for path, value in _whole(document, lines, line_of, changes):
        now = _at(document, path)
        if now == value or (value is None and now is _MISSING):
            continue
        line, name = line_of(path), f"[{_dotted(path)}]"
        header, at = now is not _MISSING and _is_head(lines, line), _said_lines(lines, line)
        if value is None:
            where = f"line {line}, take out this table and what stands under it" if header else f"{at}, take out this"
            found.setdefault((where, ""), []).append(name if header else lines[line - 1].strip())
        elif isinstance(value, Mapping) and (header or now is _MISSING) and _whole_table(path):
            where = f"from line {line}, in place of {name}" if header else "at the end of the file"
            found.setdefault((where, name), []).extend(f"{said_key(key)} = {said(each)}" for key, each in value.items())
        else:
            place = _where(document, path, at, line_of(path[:-1]))
            found.setdefault(place, []).append(f"{said_key(path[-1])} = {said(value)}")
    return tuple(Paste(where, "\n".join(([head] if head else []) + rows)) for (where, head), rows in found.items())


def _whole(
    document: Mapping[str, Any], lines: Sequence[str], line_of: Callable[[Path], int], changes: Iterable[Change]
) -> Iterable[Change]:
    """The changes, those within a table that stands on one line as that table whole."""
    found: dict[Path, Any] = {}
    for path, value in changes:
        table = path[:-1]
        known = _at(document, table)
        if len(path) < 3 or known is _MISSING or _is_head(lines, line_of(table)):
            found[path] = value
            continue
        whole = found.setdefault(table, dict(known))
        whole.pop(path[-1], None)
        if value is not None:
            whole[path[-1]] = value
    return found.items()


def _is_head(lines: Sequence[str], line: int) -> bool:
    """Whether a table has a line of its own there: `[site.marks]`."""
    return lines[line - 1].lstrip().startswith("[")


def _said_lines(lines: Sequence[str], line: int) -> str:
    """`line 12`, or `lines 12 to 25` where the value that begins there goes on below."""
    last, depth = line - 1, 0
    while last < len(lines):
        bare = _QUOTED.sub("", lines[last])
        depth += sum(bare.count(c) for c in "[{") - sum(bare.count(c) for c in "]}")
        last += 1
        if depth <= 0:
            break
    return f"line {line}" if last == line else f"lines {line} to {last}"


def _where(document: Mapping[str, Any], path: Path, there: str, line_of_table: int) -> tuple[str, str]:
    """Where the line of a key belongs, and the head of its table where that is not there yet."""
    table = f"[{_dotted(path[:-1])}]"
    if _at(document, path) is not _MISSING:
        return f"{there}, in place of what stands there", ""
    if _at(document, path[:-1]) is not _MISSING:
        return f"under {table}, line {line_of_table}", ""
    return "at the end of the file", table


def said(value: Any) -> str:
    """A value as TOML has it, on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{said_key(key)} = {said(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(said, value))}]"
    return json.dumps(value, ensure_ascii=False)


def said_key(key: object) -> str:
    """A key as TOML has it."""
    name = str(key)
    return name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)


def _whole_table(path: Path) -> bool:
    """Whether a mapping stands there as a table of its own, and not on one line as a mark does."""
    return len(path) == 2


def _dotted(path: Path) -> str:
    return ".".join(map(said_key, path))


def _at(document: Any, path: Path) -> Any:
    for part in path:
        if not isinstance(document, Mapping) or part not in document:
            return _MISSING
        document = document[part]
    return document


def _with(document: Mapping[str, Any], path: Path, value: Any) -> Mapping[str, Any]:
    """The document with a value at its place, None: without what stands there. Raises NotSo where it has no place."""
    first, rest = str(path[0]), path[1:]
    if rest:
        there = document.get(first, {})
        if not isinstance(there, Mapping):
            raise NotSo(f"{first} is not a table")
        return {**document, first: _with(there, rest, value)}
    others = {key: each for key, each in document.items() if key != first or value is not None}
    return others if value is None else {**others, first: value}
