"""Where two devices disagree: plants that both took, and what one recorded that the rest leaves no room for."""

from __future__ import annotations

from collections.abc import Sequence

from engine.journal.device_names import of_device
from engine.journal.entry import Entry
from engine.reading.frozen import dataclass
from engine.records.records import Records
from engine.records.stock_book import LEAVING
from engine.records.strays import Stray

TAKING = frozenset((*LEAVING, "move", "pot_up", "split"))
"""The kinds that take plants from where they stand."""
_LATEST = 3
"""So many of the takings before it may have left too few."""


@dataclass(frozen=True, slots=True)
class Both:
    """Two devices took the same plants: what no longer fits, by whom, and what the others had taken before it."""

    lot: str
    entry: Entry
    others: tuple[Entry, ...]
    why: str


@dataclass(frozen=True, slots=True)
class Unfit:
    """What a device recorded and the rest leaves no room for: the entry, which counts for nothing, and why."""

    entry: Entry
    why: str


def both_took(entries: Sequence[Entry], records: Records) -> tuple[Both, ...]:
    """What was taken twice: an entry for which too few were left, after another device had taken of the same lot.

    `entries` are those that stand.
    """
    short = _whys(records)
    taken: dict[str, list[Entry]] = {}
    found = []
    for entry in entries if short else ():
        if entry.kind not in TAKING:
            continue
        lot, device = str(entry.data.get("lot", "")), of_device(entry.id)
        if entry.id not in short:
            taken.setdefault(lot, []).append(entry)
            continue
        others = [each for each in taken.get(lot, ()) if of_device(each.id) != device][-_LATEST:]
        if others and " wanted, " in short[entry.id]:
            found.append(Both(lot, entry, tuple(others), short[entry.id]))
    return tuple(found)


def unfit(entries: Sequence[Entry], records: Records, both: Sequence[Both]) -> tuple[Unfit, ...]:
    """What fits nothing and was not taken twice. `entries` are those that stand."""
    why = _whys(records)
    for each in both:
        why.pop(each.entry.id, None)
    return tuple(Unfit(entry, why[entry.id]) for entry in entries if entry.id in why) if why else ()


def _whys(records: Records) -> dict[str, str]:
    """Why each entry that fits nothing does not, by its id."""
    return {t.entry: str(t).partition(": ")[2] for t in records.strays if isinstance(t, Stray) and t.entry}
