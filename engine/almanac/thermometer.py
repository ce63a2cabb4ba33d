"""A daily record of the grower's own or of a public station: a header `date,min,max` and a line a day.

Lines that cannot be read or believed are refused one by one, with the reason; the rest stands. Degrees Celsius inside.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from statistics import median

from engine.reading.frozen import dataclass
from engine.reading.units import say_degrees, to_celsius

LOWEST, HIGHEST = -70.0, 57.0
"""No thermometer in a farm's screen has stood lower or higher (world extremes, from memory: -68 of any town, 56.7)."""
ODD = 20.0
"""Further than so many degrees C, and than six spreads, from the middle of its month a reading is not believed."""
_ODD_SPREADS, _SPREAD_OF_DEVIATION, _ENOUGH = 6.0, 1.4826, 20
_COLUMNS = ("date", "min", "max")


@dataclass(frozen=True, slots=True)
class Refused:
    """A line of the record that is left out, and why."""

    line: int
    why: str


@dataclass(frozen=True, slots=True)
class Record:
    """The days of a record by ordinal, each with its minimum and maximum; and what was refused."""

    days: Mapping[int, tuple[float, float]]
    refused: tuple[Refused, ...] = ()

    def gaps(self) -> tuple[tuple[int, int], ...]:
        """First and last day of each stretch without a reading, between the first reading and the last."""
        found, before = [], None
        for day in sorted(self.days):
            if before is not None and day > before + 1:
                found.append((before + 1, day - 1))
            before = day
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Thermometer:
    """The daily means of late: of the day `first` (ordinal) and those after it, None where there is no reading."""

    first: int
    means: tuple[float | None, ...]

    @property
    def last(self) -> int:
        """The ordinal of its last day."""
        return self.first + len(self.means) - 1


def of_late(record: Record, until: int) -> Thermometer | None:
    """The means of the record's days before `until` (what came to yesterday); None where it has none."""
    days = [day for day in record.days if day < until]
    if not days:
        return None
    first, last = min(days), max(days)
    found = (record.days.get(day) for day in range(first, last + 1))
    return Thermometer(first, tuple(None if pair is None else (pair[0] + pair[1]) / 2 for pair in found))


def read_record(text: str, units: str = "metric", since: int | None = None) -> Record:
    """Read a daily record in the farm's units ("us": degrees F). Lines before the day `since` are skipped unread.

    A record without its header has no days, and says so at line 1.
    """
    lines = text.removeprefix("\ufeff").splitlines()
    head = next((n for n, line in enumerate(lines) if line.strip() and not line.startswith("#")), None)
    if head is None:
        return Record({}, (Refused(1, "the record is empty: its header reads date,min,max"),))
    mark = next((m for m in ("\t", ";") if m in lines[head]), ",")
    names = [name.strip().strip('"').lower() for name in lines[head].split(mark)]
    if any(name not in names for name in _COLUMNS):
        return Record({}, (Refused(head + 1, f"no header date,min,max: the line is {lines[head].strip()[:40]!r}"),))
    places = tuple(names.index(name) for name in _COLUMNS)
    early = "" if since is None else date.fromordinal(since).isoformat()
    rows: dict[int, tuple[int, float, float]] = {}
    refused: list[Refused] = []
    for number, line in enumerate(lines[head + 1 :], head + 2):
        if not line.strip() or line.startswith("#") or (early and line[:10] < early and line[:4].isdigit()):
            continue
        try:
            found = _row(line.split(mark), places, units, mark)
            if found is None:
                continue
            day, low, high = found
            if day in rows:
                raise ValueError(f"{date.fromordinal(day)} is already in line {rows[day][0]}")
            rows[day] = number, low, high
        except ValueError as fault:
            refused.append(Refused(number, str(fault)))
    refused += _odd(rows, units)
    days = {day: (low, high) for day, (_, low, high) in sorted(rows.items())}
    return Record(days, tuple(sorted(refused, key=lambda r: r.line)))


def _row(cells: list[str], places: tuple[int, ...], units: str, mark: str) -> tuple[int, float, float] | None:
    """The day, minimum and maximum of a line; None where either was not read that day. Raises ValueError, in words."""
    if len(cells) <= max(places):
        raise ValueError(f"{len(cells)} fields where the header has more")
    said, low_said, high_said = (cells[place].strip().strip('"') for place in places)
    try:
        day = date.fromisoformat(said).toordinal()
    except ValueError:
        raise ValueError(f'"{said}" is not a date; write year-month-day: 2027-03-01') from None
    if not low_said or not high_said:
        return None
    low, high = (_degrees(text, units, mark) for text in (low_said, high_said))
    if low > high:
        raise ValueError(f"the minimum {low_said} is above the maximum {high_said}")
    return day, low, high


def _degrees(text: str, units: str, mark: str) -> float:
    try:
        value = float(text.replace(",", ".") if mark != "," else text)
    except ValueError:
        raise ValueError(f'"{text}" is not a temperature') from None
    celsius = to_celsius(value, units)
    if not LOWEST <= celsius <= HIGHEST:  # what is not a number is refused too
        raise ValueError(f"{say_degrees(celsius, units)} is not plausible; the record is in the farm's units")
    return celsius


def _odd(rows: dict[int, tuple[int, float, float]], units: str) -> list[Refused]:
    """Take out the days whose minimum or maximum lies far from all others of their month."""
    months: dict[int, list[int]] = {}
    for day in rows:
        months.setdefault(date.fromordinal(day).month, []).append(day)
    refused: dict[int, Refused] = {}
    for days in months.values():
        for place, what in ((1, "minimum"), (2, "maximum")):
            middle, far = _usual(rows[day][place] for day in days)
            for day in days:
                value = rows[day][place]
                if isinstance(value, float) and abs(value - middle) > far:
                    shown, usual = say_degrees(value, units), say_degrees(middle, units)
                    why = f"a {what} of {shown} is not plausible on {date.fromordinal(day)}: {usual} is usual then"
                    refused[day] = Refused(rows[day][0], why)
    for day in refused:
        del rows[day]
    return list(refused.values())


def _usual(values: Iterable[float]) -> tuple[float, float]:
    """The middle of a month's values, and how far from it one may lie; any distance where there are few."""
    found = list(values)
    if len(found) < _ENOUGH:
        return 0.0, float("inf")
    middle = median(found)
    spread = _SPREAD_OF_DEVIATION * median(abs(value - middle) for value in found)
    return middle, max(ODD, _ODD_SPREADS * spread)
