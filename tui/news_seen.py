"""How much of the other devices' records this one has shown, kept beside them: what is more is news.

Only this device writes the file, so a program that syncs carries it without conflicts. Without it nothing is news.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from engine.journal.store import journal_folder

SUFFIX = ".seen"


def read_seen(farm_file: Path, device: str) -> tuple[dict[str, int], datetime | None]:
    """How many entries of each device were shown here, and when; nothing and None where that is not known."""
    try:
        told = json.loads(_file(farm_file, device).read_text(encoding="utf-8"))
        since = datetime.fromisoformat(told["at"])
        counts = {str(name): int(count) for name, count in told["entries"].items()}
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError, OverflowError):
        return {}, None
    return (counts, since) if since.tzinfo is not None else ({}, None)


def write_seen(farm_file: Path, device: str, counts: Mapping[str, int], now: datetime) -> None:
    """Keep what was shown; where that cannot be written, the same is news once more."""
    file = _file(farm_file, device)
    if not file.parent.is_dir() or not counts.keys() - {device}:
        return
    spare = file.with_suffix(f"{SUFFIX}~")
    with suppress(OSError):
        spare.write_text(json.dumps({"at": now.isoformat(), "entries": dict(counts)}), encoding="utf-8")
        os.replace(spare, file)


def _file(farm_file: Path, device: str) -> Path:
    return journal_folder(farm_file) / f"{device}{SUFFIX}"
