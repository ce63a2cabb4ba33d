"""Whatever is typed in a field: its reader gives a value or says what to write, however long the nonsense is."""

from __future__ import annotations

import random
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from typing import Any

import pytest

from engine.acts.action import Refused
from engine.almanac.phrases import PhraseFault, parse_phrase
from engine.reading.written import read_number
from tests.tui.fuzz.inputs import TEXTS, budget
from tui import answers, typed_days, typed_numbers, typed_words

TODAY = date(2027, 3, 1)
PARTS = (
    *TEXTS, "52.31", "-2.94", "°", "'", '"', "N", "W", " ", ",", "/", "=", ":", "-", "+", "8 May", "24 Apr", "first",
    "40", "trays", "m", "of row", "each", "a hundred", "a kg", "Jan 6", "%", "0.9", "1=4", "12 C", "54 F", "°C", "yes",
    "no", "none", "all", "yesterday", "2027-03-02", "3/4", "3/4/27", "29/2/27", "29 Feb 2027", "31 apr", "@",
    "https://x/@", "?mlat=", "&mlon=", "\ud800", "1e5", "1_000", "٣", "½", "①", "Ⅷ", "𝟘", "−3", "3,5", "1,000", "0x10",
    "1.", "last frost", "longest day", "day length", "rises to", "h", "degree days above", "C reach", "mean falls to",
    "in hand", "9" * 1999, "a" * 1999, "9 " * 900, "9." * 900, "(" * 900, "- " * 900,
)  # fmt: skip
READERS: dict[str, Callable[[str], Any]] = {
    "a phrase": parse_phrase,
    "an exact day": typed_days.exact_day,
    "a day in words": lambda text: typed_days.day_in_words(text, "us"),
    "a day": lambda text: typed_days.day_of(text, TODAY),
    "a day ahead": lambda text: typed_days.day_ahead(text, TODAY),
    "a coming day": lambda text: typed_days.coming_day(text, TODAY),
    "a year": typed_days.year_of,
    "a count": typed_numbers.count_or_all,
    "at least 1": typed_numbers.at_least_1,
    "what is wanted": lambda text: typed_numbers.wanted_of(text, 1000),
    "grades": lambda text: typed_numbers.grades_of([text]),
    "a sureness": typed_numbers.sureness_of,
    "a rate": typed_numbers.rate_of,
    "degrees": lambda text: typed_numbers.degrees_of(text, "us"),
    "a night": typed_words.hazard_of,
    "yields": typed_numbers.yields_of,
    "a number": read_number,
    "names": typed_words.names_of,
    "places instead": typed_words.instead_of,
    "yes or no": lambda text: typed_words.yes_of(text, "so"),
    "a part of a row": typed_words.row_part_of,
    "where it is": answers.where_of,
    "frost": lambda text: answers.frost_of(text, True),
    "twelve months": answers.months_of,
    "places": answers.places_of,
    "hours": answers.hours_of,
    "hours by month": answers.hours_by_month,
    "a price": answers.price_of,
    "a list": answers.listed,
}


@pytest.mark.parametrize("name", READERS)
def test_whatever_is_typed_is_read_or_refused(name: str) -> None:
    read = READERS[name]
    for n in range(budget(120)):
        chance = random.Random(n)
        parts = [chance.choice(PARTS) for _ in range(chance.randint(1, 5))]
        text = chance.choice(("", " ", ", ")).join(parts)
        try:
            with suppress(Refused, PhraseFault):
                read(text)
        except BaseException as fault:
            raise AssertionError(f"text {n} breaks it: {text[:200]!r}: {fault!r}") from fault
