"""Entries of the journal, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import Any

from engine.journal.entry import Entry
from engine.views.entries import CORRECTED, STANDS, TAKEN_BACK, EntryLine
from tui.cells import journal_day
from tui.paper.page import WIDTH

BLANK = " " * 11


def _wrapped(text: str) -> list[str]:
    return wrap(text, WIDTH, subsequent_indent=BLANK)


def entry_json(entry: Entry) -> dict[str, Any]:
    return {"id": entry.id, "at": entry.at, "on": entry.on.isoformat(), "kind": entry.kind, **entry.data}


def entries_sheet(lines: Iterable[EntryLine], lot: str) -> str:
    """Each entry with its day and id, the latest first; below it what it said before it was corrected."""
    told = []
    for line in lines:
        state = "  undone" if line.state == TAKEN_BACK else ""
        told += _wrapped(f"{journal_day(line.entry.on):>9}  {line.words}{state}")
        if line.was:
            told += _wrapped(f"{BLANK}was {line.was}")
        told.append(f"{BLANK}{line.entry.id}")  # whole, for it is copied
    return "\n".join(told) or f"nothing was recorded{f' of {lot}' if lot else ''} yet"


def lines_json(lines: Iterable[EntryLine]) -> dict[str, Any]:
    return {
        "entries": [
            {
                **entry_json(line.entry),
                "state": line.state,
                "was": entry_json(line.first) if line.state == CORRECTED else None,
                "by": list(line.by) if line.state != STANDS else [],
            }
            for line in lines
        ]
    }
