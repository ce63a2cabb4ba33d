"""What a few farms hold, read once for the thousand times that the tests open them: all of it frozen, or kept by
Widger itself from one day to the next (`open_nursery`)."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from engine.acts.demo_history import rehearse
from engine.farm.model import Farm
from engine.farm.reading import Reading, read_document, read_farm
from engine.journal.entry import Entry
from engine.records.records import Records
from engine.schedule.nursery import Nursery, open_nursery
from tui import demo, farmhouse

_read: dict[bytes, Reading] = {}
_nurseries: dict[int, Nursery] = {}
_rehearsed: dict[tuple[int, date], tuple[Farm, tuple[Entry, ...]]] = {}


def farm_once(path: Path) -> Reading:
    """A farm file that has nothing wrong with it, by what it holds; the faults of another name the file."""
    try:
        data = path.read_bytes() if path.is_file() else b""
    except OSError:
        data = b""
    if data not in _read:
        reading = read_farm(path)
        if not data or reading.problems:
            return reading
        _read[data] = reading
    return _read[data]


def document_once(document: dict[str, Any], text: str, file: str) -> Reading:
    """The same of the demo farm, which is read before it is written."""
    data = text.encode()
    if data not in _read:
        reading = read_document(document, text, file)
        if reading.problems:
            return reading
        _read[data] = reading
    return _read[data]


def rehearsed_once(farm: Farm, today: date, nursery: Nursery | None = None) -> tuple[Entry, ...]:
    """The history of the demo farm on a day."""
    key = id(farm), today
    if key not in _rehearsed:
        _rehearsed[key] = farm, tuple(rehearse(farm, today, nursery))  # the farm is kept, and so is its id
    return _rehearsed[key][1]


def nursery_onwards(farm: Farm, records: Records, before: Nursery | None = None) -> Nursery:
    """A nursery that goes on from that of the same farm before, as a screen's does; not for several threads."""
    found = open_nursery(farm, records, before or _nurseries.get(id(farm.written)))
    _nurseries[id(farm.written)] = found
    return found


@contextmanager
def one_thread(monkeypatch: Any) -> Iterator[None]:
    """For a call of the command, which asks nothing beside itself: what was dated of the same farm before is kept."""
    with monkeypatch.context() as patch:
        patch.setattr(farmhouse, "open_nursery", nursery_onwards)
        yield


def take_over() -> None:
    """From now on a farm is read once."""
    farmhouse.read_farm = farm_once
    demo.read_document = document_once  # type: ignore[assignment]
    demo.rehearse = rehearsed_once
