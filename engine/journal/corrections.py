"""What a correction says in place of an entry: another day, other data. The entry itself stays in its file as it was.

A correction is an entry of kind "correct": ``of`` names the entry, ``day`` is its right day, ``now`` holds the data
that are right, ``without`` the names of those that are to be left out. Each tells only what changes, so that one device
may correct the day and another the count; where both tell one thing, the later in the journal stands. A correction
is corrected by one more of the same entry, and taken back by an undo, as any entry is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from engine.journal.entry import RESERVED, Entry
from engine.reading.frozen import replace

CORRECT = "correct"
NEVER = frozenset({CORRECT, "undo"})
"""The kinds that are not corrected themselves."""


def corrected(entries: Sequence[Entry], corrections: Sequence[Entry]) -> Sequence[Entry]:
    """The entries as these corrections, in the order of the journal, say them; each keeps its place, id and kind."""
    of: dict[str, list[Entry]] = {}
    for each in readable(corrections):
        of.setdefault(str(each.data.get("of", "")), []).append(each)
    return [_mended(entry, of[entry.id]) if entry.id in of and entry.kind not in NEVER else entry for entry in entries]


def readable(corrections: Iterable[Entry]) -> list[Entry]:
    """Those of the corrections that change something."""
    return [each for each in corrections if not fault_in(each)]


def fault_in(correction: Entry) -> str:
    """Why a correction cannot be read, or nothing; such a one changes nothing."""
    data = correction.data
    if not isinstance(data.get("of"), str) or not data["of"]:
        return "it does not say which entry is meant"
    if "day" in data and _day(data["day"]) is None:
        return "its day cannot be read"
    if not isinstance(data.get("now", {}), Mapping) or not isinstance(data.get("without", []), list):
        return "the correction cannot be read"
    return ""


def correction_of(entry: Entry, on: date, data: Mapping[str, Any]) -> dict[str, Any]:
    """The data of a correction by which an entry has this day and these data; empty where nothing changes."""
    told: dict[str, Any] = {}
    if on != entry.on:
        told["day"] = on.isoformat()
    if now := {key: value for key, value in data.items() if key not in entry.data or entry.data[key] != value}:
        told["now"] = now
    if gone := sorted(key for key in entry.data if key not in data):
        told["without"] = gone
    return {"of": entry.id, **told} if told else {}


def _mended(entry: Entry, corrections: Sequence[Entry]) -> Entry:
    on, data = entry.on, dict(entry.data)
    for each in corrections:
        on = _day(each.data.get("day")) or on
        data |= {key: value for key, value in each.data.get("now", {}).items() if key not in RESERVED}
        for key in each.data.get("without", ()):
            if isinstance(key, str):
                data.pop(key, None)
    return replace(entry, on=on, data=data)


def _day(value: object) -> date | None:
    try:
        return date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
