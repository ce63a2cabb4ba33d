"""Readers of what is typed, in a form and on the command line alike: each raises Refused, which says what to write.

A share is a plain number up to 1, or above 1 in per cent; with a % sign it is always per cent. So 1 is 100 %, as
`survive = 1` is in a farm file, and one per cent is 1%. Were 1 read as one per cent, who typed it for a certainty
would ask for next to nothing and not be told; as it is, a sureness of 1 is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress
from datetime import date, timedelta
from math import inf, isfinite
from typing import TYPE_CHECKING

from engine.acts.action import Refused
from engine.reading.units import US, read_degrees, read_length, to_degrees

if TYPE_CHECKING:
    from engine.odds.rates import Rate
    from engine.records.rows import RowPart
    from engine.views.tonight import Hazard

NONE = "none"
"""Said on the command line for a day that is to be taken away."""
ALL = "all"
DAYS_WRITTEN = "write 2 Mar, 2 Mar 2027, yesterday, or 2027-03-02"
_FULL = r"(\d{1,2}) ([a-z]+)\.? (\d{4})"  # compiled where they are wanted
_NUMBERS = r"(\d{1,2})[/.](\d{1,2})(?:[/.](\d{4}|\d{2}))?"
_STRETCH = r"(.+):(\d+(?:\.\d+)? ?(?:m|ft)?):(\d{1,9})"


# -- days


def exact_day(text: str) -> date:
    """A day as scripts write it: 2027-03-02."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise Refused(f'"{text}" is not a date; write year-month-day, such as 2027-03-01') from None
    return _within(day, text)


def exact_day_or_none(text: str | None) -> date | None:
    """A day as scripts write it; None where none is given, or it is to be taken away."""
    return None if text is None or text.lower() == NONE else exact_day(text)


def file_name(text: str) -> str:
    """The name of a file that is to be read or written."""
    if not text.strip():
        raise Refused("the name of a file is missing")
    return text


def day_in_words(text: str, units: str) -> str:
    """A day typed all in numbers, in words: `3/4` is 3 Apr, on an American farm 4 Mar. Other text, ISO too, as it is.

    Raises Refused where there is no such day in the farm's order.
    """
    found = re.fullmatch(_NUMBERS, text.strip())
    if found is None:
        return text
    month, day = (int(n) for n in (found.groups()[:2] if units == US else found.group(2, 1)))
    year = int(found[3]) if found[3] else None
    if year is not None and len(found[3]) == 2:
        year += 2000
    try:
        said = date(year or 2000, month, day)  # of no year: 29 February may be meant
    except ValueError:
        order = "the month comes first here, as in 4/13" if units == US else "the day comes first here, as in 13/4"
        raise Refused(f'there is no day "{text.strip()}": {order}', DAYS_WRITTEN) from None
    return f"{said.day} {said:%b}" + (f" {year}" if year else "")


def day_of(text: str, today: date) -> date:
    """A day as a grower writes it: 2027-03-02, 2 Mar (the nearest), 31 Mar 2029, today, yesterday, -3."""
    words = text.strip().lower()
    if words in ("", "today"):
        return today
    if words == "yesterday":
        return today - timedelta(1)
    if words.startswith("-") and words[1:].isdecimal() and len(words) < 5:
        return today - timedelta(int(words[1:]))
    if words.isdecimal() and len(words) < 5:
        raise Refused(f'"{text.strip()}" is a number, not a day', DAYS_WRITTEN)
    try:
        day = date.fromisoformat(words)
    except ValueError:
        pass
    else:
        return _within(day, str(day))
    if (full := re.fullmatch(_FULL, words)) is not None:  # as days are printed
        found = _in_years(f"{full[1]} {full[2]}", text, (int(full[3]),))
    else:
        found = _in_years(words, text, (today.year - 1, today.year, today.year + 1))
    return _within(min(found, key=lambda day: abs((day - today).days)), text)


def _in_years(words: str, text: str, years: Iterable[int]) -> list[date]:
    """The days meant by a month and a day, in those of the years that have it. Raises Refused where none does."""
    from engine.almanac.phrases import CalendarBase, PhraseFault, parse_phrase

    try:
        phrase = parse_phrase(words)
    except PhraseFault:
        raise Refused(f'"{text}" is not a day', DAYS_WRITTEN) from None
    if not isinstance(base := phrase.base, CalendarBase) or phrase.offset:
        raise Refused(f'"{text}" is not a day', DAYS_WRITTEN)
    found = []
    for year in years:
        with suppress(ValueError):  # a 29 February that the year lacks, or a year that no calendar has
            found.append(date(year, base.month, base.day))
    if not found:
        raise Refused(f'there is no day "{text}"', DAYS_WRITTEN)
    return found


def day_ahead(text: str, today: date) -> date:
    """A day to come, as `day_of` reads it; a number alone is that day of this month, or else of the next with it."""
    words = text.strip()
    if not words.isdecimal() or len(words) > 2:
        return day_of(text, today)
    for months in range(4):  # a 31st comes within two months
        years, month = divmod(today.month - 1 + months, 12)
        with suppress(ValueError):
            if (day := date(today.year + years, month + 1, int(words))) >= today:
                return day
    raise Refused(f'no month has a day "{words}"', DAYS_WRITTEN)


def coming_day(text: str, today: date) -> date | None:
    """A day of a plan, None where none is given: one without a year is the next to come."""
    if not text.strip():
        return None
    words = text.strip().lower()
    if not any(c.isalpha() for c in words) or words in ("today", "yesterday") or re.search(r"\d{4}", words):
        return day_of(text, today)
    soon = range(today.year, today.year + 9)  # a 29 February comes within eight years
    return min(day for day in _in_years(words, text, soon) if day >= today)


def year_of(text: str) -> int:
    """A calendar year: 2027."""
    return exact_day(f"{text:0>4}-01-01").year


def _within(day: date, text: str) -> date:
    """The same day, where it lies in a year that somebody may mean."""
    from engine.reading.limits import outside

    if told := outside(day, text):
        raise Refused(told)
    return day


# -- whole numbers


def whole_of(text: str, what: str) -> int:
    """A whole number from 0 to 999,999,999; `what` is how it is asked for."""
    if not text.strip():
        raise Refused(f"{what}? write a number")
    if (number := _whole(text)) is None:
        raise Refused(f'{what}: must be 0 or more, not "{text}"')
    return number


def rest_of(text: str) -> tuple[str, bool]:
    """A number, and whether an r after it, or alone, says that the rest stays to do: `40 r`, `40r`, `r`."""
    words = text.strip().lower()
    return (words[:-1].strip(), True) if words.endswith("r") else (words, False)


def at_least_1(text: str) -> int:
    """A whole number from 1 to 999,999."""
    number = _whole(text)
    if not number or number > 999_999:
        raise Refused(f'must be 1 or more, not "{text}"')
    return number


def wanted_of(text: str, most: int) -> int:
    """How many plants are wanted, from 1 to the most that can be reckoned."""
    number = _whole(text)
    if not number or number > most:
        raise Refused(f'"{text}" is not a number of plants, from 1 to {most:,}')
    return number


def count_of(text: str) -> int:
    """A count of what is in stock."""
    if (number := _whole(text)) is None:
        raise Refused(f'"{text}" is not a count: give 0 or more, or all')
    return number


def count_or_all(text: str) -> int | None:
    """A count of what is in stock, None for `all`."""
    return None if text.lower() == ALL else count_of(text)


def grades_of(words: Iterable[str]) -> dict[str, int]:
    """So many of each grade: first=40 second=15; what is named twice is added up."""
    grades: dict[str, int] = {}
    for word in words:
        name, sign, count = word.rpartition("=")
        if not sign:
            raise Refused(f'"{word}" is not a grade with its count', "write first=40 second=15")
        grades[name] = grades.get(name, 0) + count_of(count)
    return grades


def _whole(text: str) -> int | None:
    digits = text.strip()
    return int(digits) if digits.isdecimal() and len(digits) < 10 else None


# -- shares and other numbers


def share_of(text: str, what: str) -> float:
    """A share from 0 to 1: 0.9, 90, 90 % or 99,5; a plain number above 1 is in per cent."""
    number = number_of(text.strip().removesuffix("%"))
    if number is None or not 0 <= number <= 100:
        raise Refused(f'"{text}" is not a {what}; say a share such as 0.9, 90 or 90%')
    return round(number / 100, 9) if number > 1 or text.strip().endswith("%") else number


def sureness_of(text: str) -> float:
    """How surely, as a share above 0 and below 1."""
    sure = share_of(text, "certainty")
    if not 0 < sure < 1:
        raise Refused(f"certainty {text} is not between 0 and 100 %: give one such as 90")
    return sure


def rate_of(text: str) -> Rate:
    """R or R:W: R a share, W how many observations it is worth."""
    from engine.odds.rates import Rate

    share, colon, weight = text.partition(":")
    mean = share_of(share, "rate")
    if not 0 < mean <= 1:
        raise Refused(f'"{share}" is not a usable rate: give a share above 0 and up to 100 %, such as 0.8')
    if not colon:
        return Rate(mean)
    worth = number_of(weight)
    if worth is None or not 0 < worth <= 1e9:
        raise Refused(f'"{weight}" in "{text}" is not how many observations a rate is worth; say a number above 0')
    return Rate(mean, worth)


def degrees_of(text: str, units: str = "metric") -> float:
    """Degrees Celsius, to a hundredth, of degrees in the farm's units: 12, -3, 4,5; 12C, 12 °C, 54F say their own."""
    try:
        return round(read_degrees(text, units), 2)
    except ValueError:
        example = "54, or 28" if units == US else "12, or -3"
        raise Refused(f'"{text}" is not a number of degrees; write {example}, or 12 °C, 54 °F') from None


HAZARDS_WRITTEN = "the low, such as -3; or: heat 33, wind, power cut"


def hazard_of(text: str, units: str = "metric") -> Hazard:
    """What is coming: the night's low, or `heat 33`, `wind`, `power cut`; degrees in the farm's units."""
    from engine.views.tonight import FROST, HEAT, POWER_CUT, WIND, Hazard

    words = " ".join(text.lower().replace("-cut", " cut").split())
    if words in (WIND, POWER_CUT):
        return Hazard(words)
    kind = HEAT if words.startswith(HEAT) else FROST
    return Hazard(kind, celsius_of(words.removeprefix(kind), units))


def celsius_of(text: str, units: str = "metric") -> float:
    """Degrees as typed, in the farm's units, as degrees Celsius."""
    try:
        celsius = read_degrees(text, units)
    except ValueError:
        celsius = inf
    if not -90 <= to_degrees(celsius, units) <= 140:
        unit = "F" if units == US else "C"
        raise Refused(f'"{text.strip()}" is not a number of degrees {unit}', f"write {HAZARDS_WRITTEN}")
    return celsius


def in_units(celsius: float, units: str) -> float:
    """Degrees in the farm's units, to a tenth."""
    return round(to_degrees(celsius, units), 1)


def yields_of(text: str) -> tuple[tuple[int, float], ...]:
    """What one stock plant gives a year, by its age: `25`, or `1=4,3=18,5=25`."""
    found = []
    for part in text.split(",") if text.strip() else []:
        age, _, number = part.partition("=") if "=" in part else ("0", "=", part)
        years, gives = _whole(age), number_of(number)
        if years is None or gives is None:
            raise Refused(f'--yields: "{part}" is not understood; write 25, or by age 1=4,3=18')
        found.append((years, gives))
    return tuple(found)


def number_of(text: str) -> float | None:
    """A number, its decimals after a point or a comma; None where it is none."""
    try:
        number = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return number if isfinite(number) else None


# -- the rest


def names_of(text: str) -> tuple[str, ...]:
    """Names with commas between."""
    return tuple(name for part in text.split(",") if (name := " ".join(part.split())))


def instead_of(text: str) -> tuple[tuple[str, str], ...]:
    """Places and those meant instead: `seed beds=seed frame, cold store=cellar`; none of them for `none`."""
    if text.strip().lower() == NONE:
        return ()
    pairs = []
    for part in names_of(text):
        old, sign, new = (word.strip() for word in part.partition("="))
        if not (old and sign and new):
            raise Refused(f'"{part}" is not a place and the one meant instead', "write seed beds=seed frame")
        pairs.append((old, new))
    return tuple(pairs)


def yes_of(text: str, question: str) -> bool:
    """Yes or no, or y or n."""
    if text.lower() not in ("yes", "no", "y", "n"):
        raise Refused(f"{question}: yes or no")
    return text.lower().startswith("y")


def row_part_of(text: str, units: str = "metric") -> RowPart | None:
    """A stretch of a row: LOT:LENGTH:COUNT, the length in metres, or in feet where those are the farm's units, or as it
    says itself: `3.5`, `3.5m`, `12ft`; None where the words are something else."""
    from engine.records.rows import RowPart

    found = re.fullmatch(_STRETCH, text)
    return None if found is None else RowPart(found[1], read_length(found[2], units), int(found[3]))
