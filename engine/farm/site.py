"""Read the [site] table: where the farm lies, its frost dates and its marks."""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from engine.almanac.almanac import Site, say_day
from engine.almanac.frost import FrostDates, FrostPoint, example_dates, example_days, frost_day, order_fault
from engine.almanac.phrases import (
    FROST_MARKS,
    LONGEST_MONTHS,
    SUN_MARKS,
    WARMTH_MARKS,
    CalendarBase,
    PhraseFault,
    parse_phrase,
)  # fmt: skip
from engine.almanac.sun import turn
from engine.farm.region import region_of
from engine.protocols.reading import read_marks
from engine.reading.amounts import celsius, metres
from engine.reading.problems import nearest
from engine.reading.table import Table
from engine.reading.units import US, to_celsius

_SEASONS_FROM = 10.0  # degrees from the equator; nearer, frost (on mountains) keeps to no summer
_ZONES = 'write the name of a zone, such as "Europe/London" or "America/Chicago"'


def read_site(table: Table, units: str = "metric") -> Site | None:
    """The site, or None where its place on the earth or its zone could not be understood."""
    latitude = table.number("latitude", -90, 90, required=True)
    longitude = table.number("longitude", -180, 180, required=True)
    elevation = metres(table, "elevation_m", -450, 9000)
    zone = _read_zone(table)
    last, first = read_frost(table, "last_frost"), read_frost(table, "first_frost")
    _check_frost(table, last, first, latitude)
    warmth, record = table.table("temperature"), ""
    temperature = None
    if warmth is not None:
        from engine.farm.temperature import read_temperature  # many farms give none

        temperature, record = read_temperature(warmth, units)
    coldest = _read_coldest(table)
    region = _read_region(table, zone)
    marks_table = table.table("marks")
    marks = read_marks(marks_table)
    for name in (*FROST_MARKS, *SUN_MARKS, *WARMTH_MARKS):
        if name in marks and marks_table is not None:
            marks_table.fault(name, f'"{name}" cannot be redefined', "frost dates go in [site.last_frost]")
            del marks[name]
    table.finish()
    if latitude is None or longitude is None or zone is None:
        return None
    return Site(
        latitude, longitude, zone, elevation or 0.0, last, first, marks, temperature, record, coldest=coldest,
        region=region,
    )  # fmt: skip


def _read_region(table: Table, zone: str | None) -> str:
    """The region whose laws hold: as the farm says, else the country of its zone."""
    told = table.text("region")
    if told is None:
        return "" if zone is None else region_of(zone)
    if not re.fullmatch(r"[A-Z]{2}(-[A-Z0-9]{1,3})?", told.upper()):
        table.fault("region", f'region "{told}" is not known', 'write a country, "GB", or a part of one, "US-OR"')
        return ""
    return told.upper()


def _read_coldest(table: Table) -> float | None:
    """The coldest night of a year, on average: in degrees Celsius, or by a hardiness zone, at its cold end."""
    zone = table.text("hardiness_zone")
    given = celsius(table, "coldest", -70, 30)
    if zone is None:
        return given
    found = re.fullmatch(r"(?:zone\s*)?(\d{1,2})\s*([ab]?)", zone.lower())
    if not found or not 1 <= int(found[1]) <= 13:
        table.fault("hardiness_zone", f'hardiness_zone "{zone}" is not known', 'write "5b", or "5": from "1a" to "13b"')
        return given
    if given is not None:
        return given  # measured, where the zone is read from a map
    fahrenheit = -60 + 10 * (int(found[1]) - 1) + (5 if found[2] == "b" else 0)
    return to_celsius(fahrenheit, US)


def _read_zone(table: Table) -> str | None:
    zone = table.text("timezone", required=True)
    if zone is None:
        return None
    if _known_zone(zone):
        return zone
    near = nearest(zone, available_timezones())
    table.fault("timezone", f'timezone "{zone}" is not known', near if near.startswith("did") else _ZONES)
    return None


@lru_cache(maxsize=64)
def _known_zone(zone: str) -> bool:
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def read_frost(table: Table, key: str) -> FrostDates | None:
    """The frost dates at their chances, or the one (50 % chance); None where none are given, or they are faulty."""
    value, written = table.raw(key), how_written(table, key)
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
            rows.fault(name, f'"{name}" is not a chance', 'write "90%", "50%" or "10%", from 0.1% to 99.9%')
            continue
        day = read_month_day(rows, name, written)
        if day is not None:
            points.append(FrostPoint(float(chance[1]) / 100, *day))
    if not points or len(table.findings.found) > before:
        if not points and len(table.findings.found) == before:
            such = example_dates(_latitude(table))[key == "first_frost"][1]
            table.fault(
                key, f"{key} gives no date", f'write "50%" = "{such}", or leave the table out where no frost comes'
            )
        return None
    frost = FrostDates(key == "last_frost", tuple(points))
    said = "falls" if frost.last else "rises"
    if frost.single and abs(points[0].chance - 0.5) > 1e-9:
        rows.fault(None, "a single frost date must be the 50% one", 'give "50%", or two chances or more')
        return None
    if fault := order_fault(frost):
        rows.fault(None, f"frost chances out of order: {fault}", f"the chance {said} as the dates go on")
        return None
    return frost


def _check_frost(table: Table, last: FrostDates | None, first: FrostDates | None, latitude: float | None) -> None:
    """Both tables or none, and of this hemisphere: midsummer lies nearer the middle of the frost-free season."""
    for key, other in (("last_frost", "first_frost"), ("first_frost", "last_frost")):
        if key in table.values and other not in table.values:
            remedy = f'add [site.{other}] with at least its "50%" date; leave both out where there is no frost'
            table.fault(key, f"{key} needs {other} beside it: a site has both or neither", remedy)
    if last is None or first is None or latitude is None or abs(latitude) < _SEASONS_FROM:
        return
    end = frost_day(last, 2025)
    free = (frost_day(first, 2025) - end) % 365
    summer = turn("june" if latitude > 0 else "december", 2025, "UTC")
    off = (end + free // 2 - summer) % 365
    if min(off, 365 - off) > 91:
        where = "north" if latitude > 0 else "south"
        table.fault(
            "last_frost",
            f"from last frost ({say_day(end)}) to first frost ({say_day(end + free)}) it is winter at latitude "
            f"{latitude:g}, {where} of the equator: these are the other hemisphere's dates, or they are swapped",
            "south of the equator latitude is negative; last_frost is the one in spring, first_frost the one in autumn",
        )


def how_written(table: Table, key: str) -> str:
    """How a day of any year is written, by an example of spring, or (`first_frost`) autumn, as it is there."""
    dates, days = (each(_latitude(table))[key == "first_frost"][1] for each in (example_dates, example_days))
    return f'write month-day, such as "{dates}", or "{days}"'


def _latitude(table: Table) -> float:
    """That of the table, as far as it can be read; else 0."""
    told = table.values.get("latitude")
    return told if isinstance(told, int | float) else 0.0


def read_month_day(rows: Table, name: str, written: str) -> tuple[int, int] | None:
    """The month and day of `"05-08"`, `"8 May"` or a TOML date; `written` is the remedy, as `how_written` gives it."""
    value = rows.values[name]
    if isinstance(value, date):
        return value.month, value.day
    found = re.fullmatch(r"\s*(\d{1,2})-(\d{1,2})\s*", value) if isinstance(value, str) else None
    if not found:
        return _day_in_words(rows, name, value, written)
    month, day = int(found[1]), int(found[2])
    if not 1 <= month <= 12:
        rows.fault(name, f'{name} = "{value}": there is no month {month}', written)
        return None
    longest = LONGEST_MONTHS[month - 1]
    if not 1 <= day <= longest:
        rows.fault(name, f'{name} = "{value}": this day does not exist', f"the month ends on day {longest}")
        return None
    return month, day


def _day_in_words(rows: Table, name: str, value: object, written: str) -> tuple[int, int] | None:
    hint = written
    if isinstance(value, str) and re.fullmatch(r"\s*\w+\.?\s+\w+\.?\s*", value):  # a day and a month
        try:
            base = parse_phrase(value).base
        except PhraseFault as fault:
            hint = fault.hint or hint
        else:
            if isinstance(base, CalendarBase):
                return base.month, base.day
    rows.fault(name, f'{name} = "{value}" is not a month-day', hint)
    return None
