"""Readers of a number that is typed (a count, a share, degrees), in a form and on the command line alike.

Each raises Refused, which says what to write.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from engine.acts.action import Refused
from engine.reading.units import US, read_degrees, to_degrees
from engine.reading.written import read_number, read_share, read_whole

if TYPE_CHECKING:
    from engine.odds.rates import Rate

ALL = "all"
"""Said on the command line for the whole of what is there."""


# -- whole numbers


def whole_of(text: str, what: str) -> int:
    """A whole number from 0 to 999,999,999; `what` is how it is asked for."""
    if not text.strip():
        raise Refused(f"{what}? write a number")
    if (number := read_whole(text)) is None:
        raise Refused(f'{what}: must be 0 or more, not "{text}"')
    return number


def rest_of(text: str) -> tuple[str, bool]:
    """A number, and whether an r after it, or alone, says that the rest stays to do: `40 r`, `40r`, `r`."""
    words = text.strip().lower()
    return (words[:-1].strip(), True) if words.endswith("r") else (words, False)


def at_least_1(text: str) -> int:
    """A whole number from 1 to 999,999."""
    number = read_whole(text)
    if not number or number > 999_999:
        raise Refused(f'must be 1 or more, not "{text}"')
    return number


def wanted_of(text: str, most: int) -> int:
    """How many plants are wanted, from 1 to the most that can be reckoned."""
    number = read_whole(text)
    if not number or number > most:
        raise Refused(f'"{text}" is not a number of plants, from 1 to {most:,}')
    return number


def count_of(text: str) -> int:
    """A count of what is in stock."""
    if (number := read_whole(text)) is None:
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


# -- shares and other numbers


def share_of(text: str, what: str) -> float:
    """A share from 0 to 1: 0.9, 90, 90 % or 99,5; a plain number above 1 is in per cent."""
    if (share := read_share(text)) is None:
        raise Refused(f'"{text}" is not a {what}; say a share such as 0.9, 90 or 90%')
    return share


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
    worth = read_number(weight)
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


def in_units(celsius: float, units: str) -> float:
    """Degrees in the farm's units, to a tenth."""
    return round(to_degrees(celsius, units), 1)


def yields_of(text: str) -> tuple[tuple[int, float], ...]:
    """What one stock plant gives a year, by its age: `25`, or `1=4,3=18,5=25`."""
    found = []
    for part in text.split(",") if text.strip() else []:
        age, _, number = part.partition("=") if "=" in part else ("0", "=", part)
        years, gives = read_whole(age), read_number(number)
        if years is None or gives is None:
            raise Refused(f'--yields: "{part}" is not understood; write 25, or by age 1=4,3=18')
        found.append((years, gives))
    return tuple(found)
