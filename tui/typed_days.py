"""Readers of a day that is typed, in a form and in a command alike: each raises Refused, which says what to write."""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress
from datetime import date, timedelta

from engine.acts.action import Refused
from engine.reading.units import US

NONE = "none"
"""Said on the command line for a day, or for what else, that is to be taken away."""
DAYS_WRITTEN = "write 2 Mar, 2 Mar 2027, yesterday, or 2027-03-02"
_FULL = r"(\d{1,2}) ([a-z]+)\.? (\d{4})"  # compiled where they are wanted
_NUMBERS = r"(\d{1,2})[/.](\d{1,2})(?:[/.](\d{4}|\d{2}))?"


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
