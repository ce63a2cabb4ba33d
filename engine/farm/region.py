"""The country in which a farm lies, by its time zone."""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path


@lru_cache(maxsize=8)
def region_of(zone: str) -> str:
    """The country of a zone by ISO 3166-1, as the zone database has it; empty where a zone is of none or of several."""
    found = find_spec("tzdata")
    if found is None or found.origin is None:
        return ""
    try:
        lines = (Path(found.origin).parent / "zoneinfo" / "zone.tab").read_text(encoding="utf-8").splitlines()
    except OSError:  # a zone database of another make
        return ""
    countries = {fields[0] for line in lines if len(fields := line.split("\t")) > 2 and fields[2] == zone}
    return countries.pop() if len(countries) == 1 else ""
