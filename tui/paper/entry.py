"""An entry of the journal, as JSON."""

from __future__ import annotations

from typing import Any

from engine.journal.entry import Entry


def entry_json(entry: Entry) -> dict[str, Any]:
    return {"id": entry.id, "at": entry.at, "on": entry.on.isoformat(), "kind": entry.kind, **entry.data}
