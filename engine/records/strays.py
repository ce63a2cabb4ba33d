"""What fits nothing: said in words, with the entry that it is about."""

from __future__ import annotations

from engine.journal.entry import Entry


class Stray(str):
    """The words; `entry` is the id of the entry that does not fit, "" where none is meant."""

    entry: str = ""


def stray(entry: Entry, what: object, fault: str) -> Stray:
    """An entry that does not fit: its day and kind, what it is about, and why."""
    told = Stray(f"{entry.on} {entry.kind} {what}: {fault}")
    told.entry = entry.id
    return told
