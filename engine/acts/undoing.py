"""Undo: the latest that a device recorded is taken back, all of it where several entries were written at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from engine.acts.action import Action, Refused
from engine.journal.entry import Entry
from engine.records.records import apply
from engine.records.words import said
from engine.schedule.nursery import Nursery

_NUMBERED = re.compile(r"(.+)-\d{6}")
_OWN = re.compile(r"[0-9a-f]+(-\d{6})?")
"""What follows a device's name and a dash in the ids of its entries; what another device's longer name adds is none."""


def ids_at_once(first: str, count: int) -> list[str]:
    """Ids for entries that are written at once, from the one id that was drawn for them; by these they are known."""
    return [first] if count == 1 else [f"{first}-{n:06}" for n in range(count)]


def undo(nursery: Nursery, entries: Sequence[Entry], device: str) -> tuple[Action, tuple[Entry, ...]]:
    """Undo the latest standing entry that this device wrote, with those written at once with it; they are returned too.

    `entries` are those that stand, and the nursery's records are made of them. Raises Refused where there is nothing
    to undo, and where what was recorded since, by another device, would fit no more.
    """
    mine = [e for e in entries if e.kind != "undo" and is_of(e.id, device)]
    if not mine:
        raise Refused("there is nothing to undo", "only what this device recorded can be undone here")
    last = mine[-1]
    undone = tuple(e for e in mine if e is last or _group(e) == _group(last) is not None)
    gone = {e.id for e in undone}
    left = apply(nursery.farm, (e for e in entries if e.id not in gone))
    if stranded := _stranded(nursery.records.strays, left.strays):
        raise Refused(
            f"{say_undone(undone)} cannot be undone, for what was recorded since rests on it: {stranded}",
            "undo that first, on the device that recorded it",
        )
    return Action("undo", last.on, {"of": [e.id for e in undone] if len(undone) > 1 else last.id}), undone


def is_of(entry_id: str, device: str) -> bool:
    """Whether a device of that name wrote the entry: of "shed", none that "shed-laptop" wrote."""
    return entry_id.startswith(f"{device}-") and _OWN.fullmatch(entry_id, len(device) + 1) is not None


def say_undone(undone: Sequence[Entry]) -> str:
    """What an undo takes back, in a few words."""
    more = f", and {len(undone) - 1} more recorded with it" if len(undone) > 1 else ""
    return f"{said(undone[0])}{more}"


def _group(entry: Entry) -> tuple[str, str] | None:
    """What entries written at once have in common; None for one that was written alone."""
    named = _NUMBERED.fullmatch(entry.id)
    return (named[1], entry.at) if named else None


def _stranded(before: Iterable[str], after: Iterable[str]) -> str:
    """The first that fits no more, and did before. Why a stray does not fit may change; what it is does not."""
    known = Counter(stray.partition(": ")[0] for stray in before)
    for stray in after:
        what = stray.partition(": ")[0]
        known[what] -= 1
        if known[what] < 0:
            return stray
    return ""
