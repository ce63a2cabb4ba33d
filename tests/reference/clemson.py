"""The daily record of Clemson, South Carolina, 1930 to 2020, as a farm would keep it: date,min,max in degrees F."""

from functools import cache
from pathlib import Path

from engine.almanac.thermometer import Record, read_record


@cache
def record_text() -> str:
    """The record as a file of a farm in the units of the United States."""
    lines = ["date,min,max"]
    for line in (Path(__file__).parent / "clemson_daily.txt").read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            month, *days = line.split()
            pairs = ((n, pair.split("/")) for n, pair in enumerate(days, 1) if pair != "-")
            lines += [f"{month}-{n:02},{low},{high}" for n, (low, high) in pairs]
    return "\n".join(lines) + "\n"


@cache
def record() -> Record:
    """The record as it is read: once for all who ask."""
    return read_record(record_text(), "us")
