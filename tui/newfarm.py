"""Write a first farm file: enough to start from, every line to be changed by the grower."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import tomli
import tomli_w

from engine.almanac.frost import example_dates
from engine.farm.reading import Reading, read_document
from engine.farm.region import region_of
from engine.protocols import LIBRARY
from engine.protocols.laws import laws_on_sending
from engine.reading.frozen import dataclass
from engine.reading.problems import with_hint
from engine.reading.said import whole_or_not

HEAD = """# A farm file for Widger. It is yours: Widger reads it and never rewrites it.
# Change any line in an editor. `widger check` says what is wrong, all at once; `widger demo` shows a farm at work.

"""
COMMENTS = {
    "[farm]": "units: metric, or us (temperatures, lengths, weights). hours_per_week: what you can work in a week.",
    "[site]": "Degrees: north and east positive, south and west negative.",
    "[site.last_frost]": "The chance that frost still comes on or after the day (month-day), as a weather service's\n"
    "# freeze-probability table has it. Where no frost comes, leave out both tables.",
    "[site.first_frost]": "The chance that frost has come on or before the day.",
    "[site.temperature]": "Mean daily highs and lows of the twelve months, January first, in the farm's units.",
    "[[place]]": "Where things stand. under_cover: a wet day's work.",
    "[[standing]]": "Work that comes round every week or season: change it, move it or delete it.\n"
    "# when_empty = false: only while something stands there.",
    "[[batch]]": "One table for each lot. start: nothing before this day; or ready = {ready} (all done by then).",
}
"""What is said over the first table of each kind."""
GUESSED = "One date was given: the other two are a guess. Put those of a weather service's table in their place."

PLACES = {
    "cold store": True, "potting shed": True, "nursery beds": False, "cold frame": True, "standing ground": False,
}  # fmt: skip
"""The places of a first farm file, and whether each is under cover."""
ELDER = {"id": "elder-1", "species": "Sambucus canadensis", "method": "hardwood cutting", "count": 60}

Frosts = Mapping[str, str]


def _usual_work(zone: str) -> list[dict[str, Any]]:
    """The standing work of a nursery, as a farm file has it: of its usual places, by the law where it lies."""
    known: list[dict[str, Any]] = tomli.loads((LIBRARY / "standing.toml").read_text(encoding="utf-8"))["standing"]
    asked = bool(laws_on_sending(region_of(zone)))
    return [{k: v for k, v in work.items() if k != "sending"} for work in known if asked or "sending" not in work]


@dataclass(frozen=True, slots=True)
class NewFarm:
    """What a first farm file is made from; `None` for the frost dates of the hemisphere, to be replaced."""

    name: str = "My nursery"
    units: str = "metric"
    latitude: float = 45.0
    longitude: float = 0.0
    timezone: str = "UTC"
    last_frost: Frosts | None = None
    first_frost: Frosts | None = None
    frost_guessed: Sequence[str] = ()
    """Of `last_frost` and `first_frost` those of which one date was given, and the others were reckoned from it."""
    mean_max: Sequence[float] = ()
    mean_min: Sequence[float] = ()
    record: str = ""
    places: Mapping[str, bool] | None = None
    hours: float = 14
    batches: Sequence[Mapping[str, object]] | None = None
    """Without `start`: they start on the day on which the file is written."""
    in_hand: Sequence[str] = ()
    """Ids of those whose seed or wood is collected already."""


def document_of(new: NewFarm, on: date) -> dict[str, Any]:
    """The farm file as a document; what standing work needs and the farm lacks (a place, frost) leaves it out."""
    spring, autumn = example_dates(new.latitude)  # to begin with, to be replaced by those of the place
    last = dict(zip(("90%", "50%", "10%"), spring, strict=True)) if new.last_frost is None else dict(new.last_frost)
    first = dict(zip(("10%", "50%", "90%"), autumn, strict=True)) if new.first_frost is None else dict(new.first_frost)
    site: dict[str, Any] = {
        "latitude": new.latitude, "longitude": new.longitude, "elevation_m": 0, "timezone": new.timezone,
    }  # fmt: skip
    site |= {"last_frost": last} if last else {}
    site |= {"first_frost": first} if first else {}
    warmth: dict[str, Any] = {"mean_max": list(new.mean_max)} if new.mean_max else {}
    warmth |= {"mean_min": list(new.mean_min)} if new.mean_min else {}
    warmth |= {"record": new.record} if new.record else {}
    site |= {"temperature": warmth} if warmth else {}
    places = PLACES if new.places is None else new.places
    hours = whole_or_not(new.hours)
    standing = [
        work
        for work in _usual_work(new.timezone)
        if work["place"] in places and ((last and first) or "frost" not in str((work.get("opens"), work.get("closes"))))
    ]
    document = {
        "farm": {"name": new.name, "units": new.units, "week_starts": "monday", "hours_per_week": hours},
        "site": site,
        "place": [{"name": name, "under_cover": cover} for name, cover in places.items()],
    }
    document |= {"standing": standing} if standing else {}
    batches = [ELDER] if new.batches is None else new.batches
    return document | ({"batch": [{**each, "start": on} for each in batches]} if batches else {})


def read_new(new: NewFarm, on: date, file: str = "farm.toml") -> Reading:
    """The farm that the file would be, with what is wrong with it."""
    return read_document(document_of(new, on), "", file)


def write_new(path: Path, new: NewFarm, on: date) -> None:
    """Write the file whole or not at all.

    Raises ValueError for a place that cannot be, FileExistsError where a file is there, OSError where it cannot be.
    """
    if problems := read_new(new, on, str(path)).problems:
        raise ValueError("; ".join(with_hint(p.message, p.hint) for p in problems))
    text = tomli_w.dumps(document_of(new, on))
    ready = f"{on.year + 2}-{'04' if new.latitude >= 0 else '10'}-15"
    for table, told in COMMENTS.items():
        told = told.format(ready=ready)
        if any(table == f"[site.{key}]" for key in new.frost_guessed):
            told = f"{told}\n# {GUESSED}"
        text = f"\n{text}".replace(f"\n{table}\n", f"\n# {told}\n{table}\n", 1).removeprefix("\n")
    data = (HEAD + text).encode()
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:  # half a file would stand in the way of the next try
        path.unlink(missing_ok=True)
        raise
