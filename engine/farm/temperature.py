"""Read [site.temperature]: the monthly means, in the farm's units, and where its daily record lies."""

from __future__ import annotations

from engine.almanac.normal_year import Temperature
from engine.reading.table import Table
from engine.reading.units import to_celsius

_COLDEST, _HOTTEST = -70.0, 60.0  # degrees Celsius; no month's mean lies beyond
_REMEDY = "give twelve numbers, January first, as a climate table has them"


def read_temperature(table: Table, units: str) -> tuple[Temperature | None, str]:
    """The monthly means in degrees Celsius, or None, and the name of the file with the daily record, or ""."""
    record = table.text("record") or ""
    given = [key for key in ("mean_max", "mean_min") if table.has(key)]
    high, low = (_twelve(table, key, units) for key in ("mean_max", "mean_min"))
    table.finish()
    if len(given) == 1:
        missing = "mean_min" if given == ["mean_max"] else "mean_max"
        table.fault(given[0], f"{given[0]} needs {missing} beside it", f"add {missing}: {_REMEDY}")
    if not given and not record:
        table.fault(None, "mean_max and mean_min are missing", f"add both: {_REMEDY}")
    if high is None or low is None:
        return None, record
    crossed = [n for n, (top, bottom) in enumerate(zip(high, low, strict=True), 1) if top < bottom]
    if crossed:
        month = crossed[0]
        table.fault("mean_min", f"mean_min of month {month} is above its mean_max", "perhaps the two lists are swapped")
        return None, record
    return Temperature(high, low), record


def _twelve(table: Table, key: str, units: str) -> tuple[float, ...] | None:
    value = table.raw(key)
    if value is None:
        return None
    if not isinstance(value, list) or len(value) != 12:
        found = f"{len(value)} of them" if isinstance(value, list) else "something else"
        table.fault(key, f"{key} is twelve numbers, not {found}", _REMEDY)
        return None
    months = []
    for number, month in enumerate(value, 1):
        if isinstance(month, bool) or not isinstance(month, int | float):
            table.fault(key, f"{key}: month {number} is not a number", _REMEDY)
            return None
        celsius = to_celsius(float(month), units)
        if not _COLDEST <= celsius <= _HOTTEST:
            sign = "F" if units == "us" else "C"
            hint = 'temperatures are in the farm\'s units: degrees C, or F where [farm] says units = "us"'
            table.fault(key, f"{key}: no month has a mean of {month:g} {sign} (month {number})", hint)
            return None
        months.append(celsius)
    return tuple(months)
