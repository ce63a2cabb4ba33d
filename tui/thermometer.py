"""The daily record of a farm's thermometer, as it lies on the disk beside the farm file."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from engine.almanac.thermometer import of_late, read_record
from engine.farm.model import Farm
from engine.farm.reading import Reading
from engine.reading.files import read_text
from engine.reading.frozen import dataclass, replace
from engine.reading.problems import Problem
from engine.reading.toml_lines import line_finder

OF_LATE = timedelta(days=730)  # this season and the one before it


@dataclass(frozen=True, slots=True)
class LastDay:
    """What the thermometer had on its latest day: the minimum and the maximum, °C."""

    day: date
    low_c: float
    high_c: float


class Unreadable(Exception):
    """A record that cannot be read at all; the message says why."""


def record_path(farm_path: Path, farm: Farm) -> Path:
    """Where the record lies: as the farm file names it, from the folder of the farm file."""
    return farm_path.parent / farm.site.record


def record_text(path: Path) -> str:
    """The record as text. Raises Unreadable."""
    try:
        return read_text(path)
    except FileNotFoundError:
        raise Unreadable(f"there is no file {path}") from None
    except IsADirectoryError:
        raise Unreadable(f"{path} is a folder") from None
    except UnicodeDecodeError:
        raise Unreadable(f"{path} is not UTF-8 text") from None
    except OSError as fault:
        raise Unreadable(f"{path} cannot be read: {fault.strerror}") from None


def with_thermometer(path: Path, reading: Reading, farm: Farm, on: date) -> Reading:
    """The same farm with the daily means of late; a record that gives none is a problem of the farm file's line."""
    try:
        record = read_record(record_text(record_path(path, farm)), farm.units, (on - OF_LATE).toordinal())
        if not record.days and record.refused and "header" in record.refused[0].why:
            raise Unreadable(f"{record_path(path, farm)}, line {record.refused[0].line}: {record.refused[0].why}")
    except Unreadable as fault:
        line = line_finder(reading.text)(("site", "temperature", "record"))
        hint = "record names a file beside the farm file, with the header date,min,max and a line a day"
        return replace(reading, problems=(*reading.problems, Problem(str(path), line, f"record: {fault}", hint)))
    late = of_late(record, on.toordinal())
    return replace(reading, farm=replace(farm, site=replace(farm.site, thermometer=late)))


def refused_note(path: Path, farm: Farm) -> tuple[str, ...]:
    """How many lines of the record are refused, where some are and it can be read."""
    try:
        count = len(read_record(record_text(record_path(path, farm)), farm.units).refused)
    except Unreadable:
        return ()  # told as a problem of the farm file
    if not count:
        return ()
    told = "1 line is" if count == 1 else f"{count} lines are"
    return (f"{farm.site.record}: {told} refused; `widger thermometer` shows why",)


def last_reading(path: Path, farm: Farm, on: date) -> LastDay | None:
    """The latest day of the record up to a day; None where the farm keeps none, or none can be read."""
    if not farm.site.record:
        return None
    try:
        record = read_record(record_text(record_path(path, farm)), farm.units, (on - OF_LATE).toordinal())
    except Unreadable:
        return None
    day = max((day for day in record.days if day <= on.toordinal()), default=None)
    return None if day is None else LastDay(date.fromordinal(day), *record.days[day])
