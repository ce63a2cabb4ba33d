"""The country in which a farm lies, by its time zone; and the zones that a place may have."""

from __future__ import annotations

import re
from functools import lru_cache
from importlib import import_module
from math import cos, radians
from pathlib import Path

from engine.reading.frozen import dataclass

_POINT = r"([+-])(\d{2})(\d{2})(\d{2})?([+-])(\d{3})(\d{2})(\d{2})?"


_AMERICANS = ("US", "CA")
NEAR = 5.0
"""A country is near whose nearest town is further than that of the nearest by so many degrees at most."""
MOST_COUNTRIES = 4


def _read(name: str, about: str = "") -> list[list[str]]:
    """The rows of a table of the zone database, those that hold a text; none where it is of another make."""
    try:
        text = (Path(import_module("tzdata").__path__[0]) / "zoneinfo" / name).read_text(encoding="utf-8")
    except (ImportError, OSError):
        return []
    return [line.split("\t") for line in text.splitlines() if about in line and not line.startswith("#")]


@lru_cache(maxsize=1)
def _rows() -> tuple[tuple[str, str, str], ...]:
    """Country, point and name of each zone."""
    return tuple((each[0], each[1], each[2]) for each in _read("zone.tab") if len(each) > 2)


@lru_cache(maxsize=1)
def _names() -> dict[str, str]:
    return {each[0]: each[1] for each in _read("iso3166.tab") if len(each) > 1}


@lru_cache(maxsize=8)
def region_of(zone: str) -> str:
    """The country of a zone by ISO 3166-1, as the zone database has it; empty where a zone is of none or of several."""
    countries = {each[0] for each in _read("zone.tab", zone) if len(each) > 2 and each[2] == zone}
    return countries.pop() if len(countries) == 1 else ""


@dataclass(frozen=True, slots=True)
class NearZone:
    """A zone that a place may have, and its country: the code of ISO 3166-1, and its name in English."""

    zone: str
    country: str
    name: str


@lru_cache(maxsize=8)
def zones_near(latitude: float, longitude: float) -> tuple[NearZone, ...]:
    """The nearest zone of each near country, the likeliest first: a guess, to be shown and corrected.

    Degrees, north and east positive. Towns lie to one side of borders, so between Canada and the United States the
    border itself decides. Without a zone database, a zone of whole hours by the longitude.
    """
    from engine.farm.borders import in_canada, more_towns  # only a first run asks

    best: dict[str, tuple[float, str]] = {}
    more = more_towns()
    for country, point, zone in _rows():
        for north, east in (*_chief(point), *more.get(zone, ())):
            across = (east - longitude + 180) % 360 - 180
            far = ((north - latitude) ** 2 + (across * cos(radians((north + latitude) / 2))) ** 2) ** 0.5
            best[country] = min(best.get(country, (far, zone)), (far, zone))
    if not best:
        hours = round(longitude / 15)
        return (NearZone(f"Etc/GMT{-hours:+d}" if hours else "UTC", "", ""),)
    ordered = sorted(best, key=best.__getitem__)
    if ordered[0] in _AMERICANS:
        ordered.sort(key=lambda country: country != _AMERICANS[in_canada(latitude, longitude)])
    limit = best[ordered[0]][0] + NEAR
    return tuple(
        NearZone(best[country][1], country, _names().get(country, country))
        for country in ordered[:MOST_COUNTRIES]
        if best[country][0] <= limit
    )


def _chief(point: str) -> list[tuple[float, float]]:
    """The chief town of a zone, in degrees, from degrees, minutes and seconds."""
    if (found := re.match(_POINT, point)) is None:
        return []
    north, east = (
        int(found[k] + "1") * (int(found[k + 1]) + int(found[k + 2]) / 60 + int(found[k + 3] or 0) / 3600)
        for k in (1, 5)
    )
    return [(north, east)]
