"""The country in which a farm lies, by its time zone; and the zone that a place is likely to have."""

from __future__ import annotations

import re
from functools import lru_cache
from importlib.util import find_spec
from math import cos, radians
from pathlib import Path

_POINT = re.compile(r"([+-])(\d{2})(\d{2})(?:\d{2})?([+-])(\d{3})(\d{2})(?:\d{2})?")


@lru_cache(maxsize=1)
def _rows() -> tuple[tuple[str, str, str], ...]:
    """Country, point and name of each zone, as the zone database has them; none where it is of another make."""
    found = find_spec("tzdata")
    if found is None or found.origin is None:
        return ()
    try:
        text = (Path(found.origin).parent / "zoneinfo" / "zone.tab").read_text(encoding="utf-8")
    except OSError:
        return ()
    fields = [line.split("\t") for line in text.splitlines() if not line.startswith("#")]
    return tuple((each[0], each[1], each[2]) for each in fields if len(each) > 2)


@lru_cache(maxsize=8)
def region_of(zone: str) -> str:
    """The country of a zone by ISO 3166-1, as the zone database has it; empty where a zone is of none or of several."""
    countries = {country for country, _, name in _rows() if name == zone}
    return countries.pop() if len(countries) == 1 else ""


def zone_near(latitude: float, longitude: float) -> str:
    """The zone whose chief town, as the zone database has it, lies nearest: a guess, to be shown and corrected.

    Degrees, north and east positive. Without a zone database, a zone of whole hours by the longitude.
    """
    best, nearest = "", float("inf")
    for _, point, name in _rows():
        if found := _POINT.match(point):
            north = int(found[1] + "1") * (int(found[2]) + int(found[3]) / 60)
            east = int(found[4] + "1") * (int(found[5]) + int(found[6]) / 60)
            across = (east - longitude + 180) % 360 - 180
            far = (north - latitude) ** 2 + (across * cos(radians((north + latitude) / 2))) ** 2
            if far < nearest:
                best, nearest = name, far
    hours = round(longitude / 15)
    return best or (f"Etc/GMT{-hours:+d}" if hours else "UTC")
