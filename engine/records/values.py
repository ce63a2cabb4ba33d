"""What an entry's data may hold is anything that JSON can: here it is read so that nothing in it can bring us down."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from engine.journal.corrections import CORRECT, fault_in
from engine.journal.entry import Entry
from engine.reading.limits import FIRST_YEAR, LARGEST, LAST_YEAR, MOST_IN_BATCH, outside
from engine.records.kinds import FARM_KINDS

_COUNTS = ("count", "left", "ordered")


def beyond(entry: Entry, most: int = MOST_IN_BATCH) -> str:
    """Why an entry's day, or a count of it above `most`, cannot be meant, or nothing.

    What the farm has besides has bounds of its own.
    """
    if entry.kind == "undo":  # what it takes back may itself lie beyond, and its day is that one's
        return ""
    if entry.kind == CORRECT:
        return fault_in(entry)
    if outside(entry.on):
        return f"its day lies outside the years {FIRST_YEAR} to {LAST_YEAR}"
    if entry.kind in FARM_KINDS:
        return ""
    data = entry.data
    for key in _COUNTS:
        if key in data and isinstance(count := data[key], int) and count > most:
            return f"its {key} is more than {most:,}"
    grades = data.get("grades")
    if isinstance(grades, dict) and any(isinstance(count, int) and count > most for count in grades.values()):
        return f"a grade has more than {most:,}"
    return ""


def number(value: object) -> float | None:
    """The number that an entry gives; None for what is none, is not finite, or lies more than 1e15 from nothing."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not -LARGEST <= value <= LARGEST:
        return None
    return float(value)


def texts(value: object) -> list[str]:
    """A list of texts as it stands; an empty list for anything else."""
    return value if isinstance(value, list) and all(isinstance(each, str) for each in value) else []


class Unfit(ValueError):
    """An entry that makes no batch, or changes none: the reason in plain words."""


def count_in(data: Mapping[str, Any]) -> int:
    """The count that an entry gives, a whole number. Raises Unfit where it has none."""
    count = data.get("count")
    if not isinstance(count, int) or isinstance(count, bool):
        raise Unfit("its count cannot be read")
    return count


def day_in(data: Mapping[str, Any], key: str) -> date | None:
    """The date that an entry gives, None where it gives none. Raises Unfit."""
    value = data.get(key)
    if value is None:
        return None
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        raise Unfit(f"its {key} date cannot be read") from None


def text_in(data: Mapping[str, Any], key: str) -> str:
    """The text that an entry gives, "" where it gives none."""
    value = data.get(key)
    return value.strip() if isinstance(value, str) else ""
