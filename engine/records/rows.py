"""What stands in a row of a bed, as an entry tells it: lots with their metres and counts, from the row's fixed end."""

from __future__ import annotations

from engine.reading.frozen import dataclass
from engine.reading.limits import MOST_HELD
from engine.records.never_below_none import is_count
from engine.records.values import number


@dataclass(frozen=True, slots=True)
class RowPart:
    """A lot's stretch of a row: metres of it, and how many stand there."""

    lot: str
    metres: float
    count: int


def row_parts(value: object) -> tuple[RowPart, ...] | None:
    """The stretches of a row as they were told; None where they cannot be read."""
    if not isinstance(value, list):
        return None
    parts = []
    for told in value:
        if not isinstance(told, list) or len(told) != 3:
            return None
        lot, metres, count = told[0], number(told[1]), told[2]
        if not isinstance(lot, str) or metres is None or metres < 0:
            return None
        if not is_count(count) or count > MOST_HELD:
            return None
        parts.append(RowPart(lot, metres, count))
    return tuple(parts)
