"""Read the [site] table: where the farm lies, its frost dates and its marks."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from engine.almanac.almanac import Site
from engine.almanac.frost import FrostDates, FrostPoint, order_fault
from engine.almanac.phrases import FROST_MARKS, SUN_MARKS
from engine.protocols.reading import read_marks
from engine.reading.problems import nearest
from engine.reading.table import Table


def read_site(table: Table) -> Site | None:
    """The site, or None where its place on the earth or its zone could not be understood."""
    latitude = table.number("latitude", -90, 90, required=True)
    longitude = table.number("longitude", -180, 180, required=True)
    elevation = table.number("elevation_m", -450, 9000)
    zone = _read_zone(table)
    last, first = _read_frost(table, "last_frost"), _read_frost(table, "first_frost")
    marks_table = table.table("marks")
    marks = read_marks(marks_table)
    for name in (*FROST_MARKS, *SUN_MARKS):
        if name in marks and marks_table is not None:
            marks_table.fault(name, f'"{name}" cannot be redefined', "frost dates stand in [site.last_frost]")
            del marks[name]
    table.finish()
    if latitude is None or longitude is None or zone is None:
        return None
    return Site(latitude, longitude, zone, elevation or 0.0, last, first, marks)


def _read_zone(table: Table) -> str | None:
    zone = table.text("timezone", required=True)
    if zone is None:
        return None
    if _known_zone(zone):
        return zone
    table.fault("timezone", f'timezone "{zone}" is not known', nearest(zone, available_timezones()))
    return None


@lru_cache(maxsize=64)
def _known_zone(zone: str) -> bool:
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def _read_frost(table: Table, key: str) -> FrostDates | None:
    value = table.raw(key)
    if isinstance(value, str | date):
        value = {"50%": value}
        rows = Table(value, (*table.path, key), table.findings)
    else:
        found = table.table(key)
        if found is None:
            return None
        rows = found
    points: list[FrostPoint] = []
    before = len(table.findings.found)
    for name in rows.values:
        rows.has(name)
        chance = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*%\s*", name)
        if not chance or not 0.1 <= float(chance[1]) <= 99.9:
            rows.fault(name, f'"{name}" is no chance', 'write "90%", "50%" or "10%", from 0.1% to 99.9%')
            continue
        day = _month_day(rows, name)
        if day is not None:
            points.append(FrostPoint(float(chance[1]) / 100, *day))
    if not points or len(table.findings.found) > before:
        if not points and len(table.findings.found) == before:
            table.fault(
                key, f"{key} gives no date", 'write "50%" = "05-08", or leave the table out where no frost comes'
            )
        return None
    frost = FrostDates(key == "last_frost", tuple(points))
    said = "falls" if frost.last else "rises"
    if frost.single and abs(points[0].chance - 0.5) > 1e-9:
        rows.fault(None, "one frost date alone must be the one at even odds", 'give "50%", or two chances or more')
        return None
    if fault := order_fault(frost):
        rows.fault(None, f"frost chances out of order: {fault}", f"the chance {said} as the dates go on")
        return None
    return frost


def _month_day(rows: Table, name: str) -> tuple[int, int] | None:
    value = rows.values[name]
    if isinstance(value, date):
        return value.month, value.day
    found = re.fullmatch(r"\s*(\d{1,2})-(\d{1,2})\s*", value) if isinstance(value, str) else None
    if not found:
        rows.fault(name, f'{name} = "{value}" is no month-day', 'write month-day, such as "05-08" for 8 May')
        return None
    month, day = int(found[1]), int(found[2])
    if not 1 <= month <= 12:
        rows.fault(name, f'{name} = "{value}": there is no month {month}', 'write month-day, such as "05-08" for 8 May')
        return None
    longest = monthrange(2024, month)[1]
    if not 1 <= day <= longest:
        rows.fault(name, f'{name} = "{value}": this day does not exist', f"the month ends on day {longest}")
        return None
    return month, day
