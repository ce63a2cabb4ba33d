"""One entry of the journal: something that happened, as one line of JSON that shows whether it is whole.

A line holds, in this order, ``v`` (the version of the layout, 1), ``id``, ``at``, ``on``, ``kind``, the entry's
own data by name, and last ``sum``: the CRC-32 of every byte before ``,"sum"``, in 8 hexadecimal digits. A CRC-32
finds every alteration that lies within 32 bits, so no single byte can change unseen; it guards against accident,
not malice. Later versions of the layout keep ``v`` first and ``sum`` last, so that an older Widger knows them.
"""

import json
import math
import zlib
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import compress
from typing import Any, Final, NoReturn

from engine.reading.frozen import dataclass, field

VERSION: Final = 1
RESERVED: Final = frozenset({"v", "id", "at", "on", "kind", "sum"})
DEEPEST: Final = 32
"""How many lists and tables may lie within one another in an entry's data."""

_SUM: Final = b',"sum":"%08x"}'
_SUM_LENGTH: Final = len(_SUM % 0)

_AT_ONCE: Final = 500
"""So many lines are read together: few enough that what is read of them stays near the processor."""
_MENDS: Final = "Nothing else is lost. Compare the line with a backup, or record again what it held."
_ARRIVES: Final = (
    "If the file is still coming from another device, this puts itself right; if not, record again what you did last."
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened; never changed, never removed.

    ``id`` is unique in the farm's journal. ``at`` is the instant of writing, ISO 8601 with its offset from UTC.
    ``on`` is the day the entry is about. ``data`` holds JSON values only: text, numbers, true, false, null, lists
    and tables.
    """

    id: str
    at: str
    on: date
    kind: str
    data: Mapping[str, Any] = field(default_factory=dict, hash=False)


class LineError(ValueError):
    """A line that cannot be taken as an entry: the reason in plain words, and in ``hint`` what to do."""

    def __init__(self, message: str, hint: str = _MENDS) -> None:
        super().__init__(message)
        self.hint = hint


def instant(at: str) -> float:
    """Seconds since 1970-01-01 UTC, exact to the microsecond until the year 2255.

    Raises ValueError where ``at`` is not an ISO 8601 date and time with an offset.
    """
    try:
        moment = datetime.fromisoformat(at)
    except (ValueError, TypeError):
        raise ValueError(f"the time {at!r} is not in the form 2027-03-01T08:30:00+01:00") from None
    if moment.tzinfo is None:
        raise ValueError(f"the time {at!r} has no offset from UTC, such as +01:00")
    return moment.timestamp()


def to_line(entry: Entry) -> bytes:
    """The entry as one line of UTF-8 with its sum and line break; the same entry always gives the same bytes.

    Raises ValueError where the entry holds what a line cannot give back as it was.
    """
    for name in ("id", "kind"):
        value = getattr(entry, name)
        if not isinstance(value, str) or not value:
            raise ValueError(f"an entry needs its {name} as a text that is not empty, not {value!r}")
    instant(entry.at)
    if not isinstance(entry.on, date) or isinstance(entry.on, datetime):
        raise ValueError(f"the day of an entry is a date without a time, not {entry.on!r}")
    if clash := sorted(RESERVED & entry.data.keys()):
        raise ValueError(f"an entry's data may not use the name {clash[0]!r}, which the line needs itself")
    data = dict(entry.data)
    _check(data, "data", 0)
    head = {"v": VERSION, "id": entry.id, "at": entry.at, "on": entry.on.isoformat(), "kind": entry.kind}
    try:
        body = _json(head, in_order=False)[:-1] + (b"," + _json(data)[1:-1] if data else b"")
    except UnicodeEncodeError:
        raise ValueError("an entry's text holds half of a character (a lone surrogate)") from None
    return body + _SUM % zlib.crc32(body) + b"\n"


def torn() -> LineError:
    """The reason for a line without its end."""
    return LineError("the line is incomplete: writing it was cut short", _ARRIVES)


def parse(line: bytes) -> tuple[float, Entry]:
    """The instant of writing (as `instant` gives it) and the entry in a line given without its line break.

    The sum is checked on the bytes as they stand, before anything else is believed. Raises ValueError (a `LineError`)
    with a plain reason where the line is not JSON, altered, or from a newer version of Widger.
    """
    if line.endswith(b"\r"):  # a program that rewrites line breaks on its way alters nothing that matters
        line = line[:-1]
    if not _whole(line):
        _decode(line)
        raise LineError("the line's checksum does not match: it was altered after it was written")
    return _entry(_decode(line))


def parse_all(lines: Sequence[bytes]) -> Iterator[tuple[float, Entry] | LineError]:
    """What `parse` gives for each line, or the error that it raises.

    Lines whose sums are right are read by the hundred as one JSON list, in half the time that it takes one by one.
    """
    for start in range(0, len(lines), _AT_ONCE):
        some = [line.removesuffix(b"\r") for line in lines[start : start + _AT_ONCE]]
        sound = [_whole(line) for line in some]
        records = iter(_decode_list(list(compress(some, sound))))
        for line, is_sound in zip(some, sound, strict=True):
            record = next(records, None) if is_sound else None
            try:
                yield parse(line) if record is None else _entry(record)
            except LineError as reason:
                yield reason


def _whole(line: bytes) -> bool:
    """Whether the sum is that of the bytes as they stand."""
    return line[-_SUM_LENGTH:] == _SUM % zlib.crc32(line[:-_SUM_LENGTH])


def _entry(record: dict[str, Any]) -> tuple[float, Entry]:
    """The instant of writing and the entry that a line's table tells. Raises `LineError`."""
    version = record.pop("v", None)
    if version != VERSION or type(version) is not int:
        if type(version) is int and version > VERSION:
            raise LineError(
                f"the line was written by a newer Widger (layout {version}; this one reads {VERSION})",
                "Bring Widger up to date on this device.",
            )
        raise LineError(f"the line's layout is not known: {version!r}")
    try:
        del record["sum"]
        key, at, on, kind = record.pop("id"), record.pop("at"), record.pop("on"), record.pop("kind")
    except KeyError as missing:
        raise LineError(f"the line lacks {missing}") from None
    if type(key) is not str or type(kind) is not str or not key or not kind:
        raise LineError("the line's id and kind are not both texts")
    try:
        moment = instant(at)
    except ValueError as reason:
        raise LineError(str(reason)) from None
    try:
        day = date.fromisoformat(on)
    except (ValueError, TypeError):
        raise LineError(f"the day {on!r} is not a date in the form 2027-03-01") from None
    return moment, Entry(key, at, day, kind, record)


_AS_IT_COMES = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))
_IN_ORDER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"), sort_keys=True)


def _json(table: dict[str, Any], *, in_order: bool = True) -> bytes:
    return (_IN_ORDER if in_order else _AS_IT_COMES).encode(table).encode()


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number")


_DECODER: Final = json.JSONDecoder(parse_constant=_no_constant)


def _decode(line: bytes) -> dict[str, Any]:
    try:
        text = line.decode()
        record, end = _DECODER.raw_decode(text)  # a line has no blanks at its ends to be looked for
        if end != len(text):
            raise ValueError
    except (ValueError, RecursionError):
        raise LineError("the line is not JSON: it was altered after it was written") from None
    if type(record) is not dict:
        raise LineError("the line is not an entry: it is JSON, but not a table")
    return record


def _decode_list(lines: Sequence[bytes]) -> list[dict[str, Any]]:
    """The tables of lines read as one JSON list; nothing where it does not hold one table for each line."""
    try:
        records = _DECODER.decode((b"[" + b",".join(lines) + b"]").decode())
    except (ValueError, RecursionError):
        return []
    return records if len(records) == len(lines) and all(type(record) is dict for record in records) else []


def _check(value: object, where: str, depth: int) -> None:
    """Raise ValueError for anything in an entry's data that JSON would change, drop or refuse."""
    if value is None or isinstance(value, (str, int)):
        return
    if depth > DEEPEST:
        raise ValueError(f"{where}: lists and tables lie more than {DEEPEST} deep")
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError(f"{where}: {value} is not a number that an entry can hold")
    elif isinstance(value, list):
        for index, item in enumerate(value):
            _check(item, f"{where}[{index}]", depth + 1)
    elif isinstance(value, dict):
        for key, item in value.items():
            if not isinstance(key, str):
                raise ValueError(f"{where}: the name {key!r} is not a text")
            _check(item, f"{where}.{key}", depth + 1)
    else:
        kind = type(value).__name__
        raise ValueError(f"{where}: an entry cannot hold a {kind}; write a date as text, a tuple as a list")
