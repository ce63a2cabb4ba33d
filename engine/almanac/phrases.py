"""A date said in words: `last frost (10%) - 8 weeks`, `day length falls to 13 h 30 m`, `mean rises to 10 C`, `15 Mar`.

phrase := base [ (+|-) N (day|days|week|weeks) ]
"""

from __future__ import annotations

import re
from functools import lru_cache

from engine.reading.frozen import dataclass
from engine.reading.limits import LONGEST_OFFSET, LONGEST_PHRASE

FROST_MARKS = ("last frost", "first frost")
LONGEST_MONTHS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)  # days; 29 February is a day
SUN_MARKS = ("longest day", "shortest day", "spring equinox", "autumn equinox")
WARMTH_MARKS = ("coldest day",)  # of the normal year, where the site gives temperatures
COMPUTED_MARKS = (*SUN_MARKS, *WARMTH_MARKS, "open winter", "beds open")  # nobody sees them come
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_FULL_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class MarkBase:
    """A mark by name; `chance` (0 to 1) only for the two frost marks."""

    name: str
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class DayLengthBase:
    """The day length rising or falling to so many minutes."""

    rising: bool
    minutes: int


@dataclass(frozen=True, slots=True)
class CalendarBase:
    """A month and a day of every year."""

    month: int
    day: int


@dataclass(frozen=True, slots=True)
class MeanBase:
    """The normal year's daily mean rising or falling to so many degrees Celsius."""

    rising: bool
    degrees: float


@dataclass(frozen=True, slots=True)
class DegreeDaysBase:
    """So many degree days (Celsius) above a base, counted from six weeks after the shortest day."""

    above: float
    total: float


Base = MarkBase | DayLengthBase | CalendarBase | MeanBase | DegreeDaysBase


@dataclass(frozen=True, slots=True)
class Phrase:
    """A base and an offset in days; `text` is how the grower wrote it."""

    base: Base
    offset: int
    text: str

    def __hash__(self) -> int:
        return hash(self.text)  # for every window of every step: the rest follows from it


class PhraseFault(ValueError):
    """A phrase that cannot be read: what was found, and a hint for the remedy."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


_OFFSET = re.compile(r"^(?P<base>.*?)\s*(?P<sign>[+\-−–])\s*(?P<count>\d+)\s*(?P<unit>days?|weeks?)$")
_DAY_LENGTH = re.compile(
    r"^day length (?P<way>rises|falls) to (?P<hours>\d{1,2})\s*h(?:\s*(?P<minutes>\d{1,2})\s*m(?:in)?)?$"
)
# Read only where a farm gives temperatures: compiled when they are first wanted.
_DEGREES = r"(?P<degrees>[-−]?\d+(?:\.\d+)?)\s*°?\s*(?P<unit>[cf])"
_MEAN = rf"mean (?P<way>rises|falls) to {_DEGREES}"
_DEGREE_DAYS = rf"degree days above {_DEGREES} reach (?P<total>\d+(?:\.\d+)?)"
_CALENDAR = re.compile(r"^(?P<day>\d{1,2})\s+(?P<month>[a-z]+)\.?$")
_TURNED = re.compile(r"^(?P<month>[a-z]{3,9})\.?\s+(?P<day>\d{1,2})$")
_CHANCE = re.compile(r"^(?P<name>.*?)\s*\(\s*(?P<chance>\d+(?:\.\d+)?)\s*%\s*\)$")
_TRAILING_OFFSET = re.compile(r"[+−–]|\s-\s*\S|\d+\s*(days?|weeks?)?$")


@lru_cache(maxsize=4096)
def parse_phrase(text: str) -> Phrase:
    """Read one phrase; case and spacing do not matter. Raises PhraseFault where it cannot be read."""
    words = " ".join(text.split())
    if len(words) > LONGEST_PHRASE:
        raise PhraseFault(
            f'"{words[:40]}…" is {len(words):,} characters long', f"a phrase has {LONGEST_PHRASE} at most"
        )
    found = _OFFSET.match(words.lower())
    base_text, offset = words.lower(), 0
    if found and found["base"]:
        base_text = found["base"].strip()
        offset = int(found["count"]) * (7 if found["unit"].startswith("week") else 1)
        if offset > LONGEST_OFFSET:
            raise PhraseFault(f'"{words}": an offset of {offset} days', "an offset is at most a year: phrases recur")
        offset = offset if found["sign"] == "+" else -offset
    elif not words:
        raise PhraseFault("an empty phrase", 'write a date in words, such as "last frost - 8 weeks"')
    return Phrase(_parse_base(base_text), offset, words)


def _parse_base(words: str) -> Base:
    if words.startswith("day length"):
        found = _DAY_LENGTH.match(words)
        if not found:
            raise PhraseFault(
                f'"{words}" is not a day length',
                'write "day length rises to 10 h" or "day length falls to 13 h 30 m"',
            )
        minutes = int(found["hours"]) * 60 + int(found["minutes"] or 0)
        if minutes > 1440 or int(found["minutes"] or 0) > 59:
            raise PhraseFault(f'"{words}": a day has 24 hours', "give hours up to 24 and minutes up to 59")
        return DayLengthBase(found["way"] == "rises", minutes)
    if words.startswith(("mean ", "degree days")):
        return _warmth(words)
    if found := _CALENDAR.match(words):
        return _calendar(int(found["day"]), found["month"], words)
    if found := _CHANCE.match(words):
        chance = float(found["chance"]) / 100
        if not 0.001 <= chance <= 0.999:
            raise PhraseFault(
                f'"{words}": no date has a chance of {found["chance"]}%', "give a chance from 0.1% to 99.9%"
            )
        if found["name"] not in FROST_MARKS:
            raise PhraseFault(f'"{words}": only last frost and first frost have a chance', f'write "{found["name"]}"')
        return MarkBase(found["name"], chance)
    if (turned := _TURNED.match(words)) and turned["month"][:3].title() in MONTHS:
        raise PhraseFault(f'"{words}" is not a date', f'write "{turned["day"]} {turned["month"][:3].title()}"')
    if _TRAILING_OFFSET.search(words):
        raise PhraseFault(f'"{words}" is not a phrase', 'an offset reads "+ 3 weeks" or "- 10 days"')
    return MarkBase(words)


def _warmth(words: str) -> Base:
    if found := re.fullmatch(_MEAN, words):
        return MeanBase(found["way"] == "rises", _celsius(found, words))
    if found := re.fullmatch(_DEGREE_DAYS, words):
        total = float(found["total"]) / (1.8 if found["unit"] == "f" else 1.0)
        if not 0 < total <= 10_000:
            raise PhraseFault(
                f'"{words}": no season reaches {found["total"]}', "apple buds swell at about 75 above 5 C"
            )
        return DegreeDaysBase(_celsius(found, words), total)
    raise PhraseFault(
        f'"{words}" is not a phrase',
        'write "mean rises to 10 C", "mean falls to 5 C" or "degree days above 5 C reach 75"; 41 F will do as well',
    )


def _celsius(found: re.Match[str], words: str) -> float:
    degrees = float(found["degrees"].replace("−", "-"))
    if found["unit"] == "f":
        degrees = (degrees - 32) / 1.8
    if not -60 <= degrees <= 60:
        raise PhraseFault(
            f'"{words}": no mean of a day is {found["degrees"]} {found["unit"].upper()}', "from -60 to 60 C"
        )
    return degrees


def _calendar(day: int, month_name: str, words: str) -> CalendarBase:
    months = [m for m, full in enumerate(_FULL_MONTHS, 1) if len(month_name) >= 3 and full.startswith(month_name)]
    if month_name == "sept":
        months = [9]
    if not months:
        from difflib import get_close_matches

        near = get_close_matches(month_name, [*_FULL_MONTHS, *(m.lower() for m in MONTHS)], 1)
        raise PhraseFault(f'"{words}": no month "{month_name}"', f"did you mean {near[0].title()}?" if near else "")
    month = months[0]
    longest = LONGEST_MONTHS[month - 1]
    if not 1 <= day <= longest:
        raise PhraseFault(
            f'"{words}": {_FULL_MONTHS[month - 1].title()} has no day {day}', f"its last day is {longest}"
        )
    return CalendarBase(month, day)
