"""What is typed is read in one way, in a form and in a command; what cannot be read is refused."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.acts.action import Refused
from tui import typed_days, typed_numbers, typed_words

TODAY = date(2027, 3, 2)


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("90", 0.9), ("90%", 0.9), ("90 %", 0.9), ("0.9", 0.9), ("0,9", 0.9), ("99,5", 0.995), ("99.5 %", 0.995),
        ("1", 1.0), ("1.0", 1.0), ("100", 1.0), ("100 %", 1.0), ("1%", 0.01), ("0.5%", 0.005), ("1.5", 0.015),
        ("0", 0.0),
    ],
)  # fmt: skip
def test_a_share_is_a_number_up_to_1_or_per_cent(text: str, share: float):
    assert typed_numbers.share_of(text, "rate") == share


@given(st.integers(2, 9999))
def test_a_share_is_the_same_in_either_way_of_writing(parts: int):
    assert typed_numbers.share_of(f"{parts / 10000}", "rate") == typed_numbers.share_of(f"{parts / 100}%", "rate")


@pytest.mark.parametrize("text", ["1", "1.0", "100", "100%", "0", "0%"])
def test_nothing_is_sure_nor_asked_for_with_no_sureness(text: str):
    with pytest.raises(Refused, match="is not between 0 and 100"):
        typed_numbers.sureness_of(text)


def test_one_per_cent_is_written_with_its_sign():
    assert typed_numbers.sureness_of("1%") == 0.01


@pytest.mark.parametrize(
    ("read", "text"),
    [
        *((lambda text: typed_numbers.share_of(text, "rate"), text) for text in ("", "many", "101", "-1", "nan", "9O")),
        *(
            (lambda text: typed_numbers.whole_of(text, "how many"), text)
            for text in ("", "-1", "1.5", "1e3", "1234567890")
        ),
        *((typed_numbers.at_least_1, text) for text in ("0", "-1", "x", "1000000")),
        *((typed_numbers.count_of, text) for text in ("all", "-1", "", "²")),
        *((typed_numbers.degrees_of, text) for text in ("warm", "", "inf", "12K")),
        *((typed_days.exact_day, text) for text in ("2 Mar", "2027-02-29", "", "1803-01-01", "2027-3-1")),
        *((lambda text: typed_days.day_of(text, TODAY), text) for text in (
            "soon", "2 Mar 1803", "last frost", "31 Feb", "10 Jan + 1 week", "29 feb 2027", "2 mar 9999", "2 mar 0000",
        )),
        *((typed_numbers.rate_of, text) for text in ("0", "0.8:", "0.8:x", "0.8:-1")),
        *((typed_numbers.yields_of, text) for text in ("a", "1=", "x=3", "1=4,")),
        (lambda text: typed_numbers.grades_of([text]), "first"),
        (lambda text: typed_words.yes_of(text, "join"), "perhaps"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused(read: Callable[[str], object], text: str):
    with pytest.raises(Refused):
        read(text)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("", date(2027, 3, 2)), ("yesterday", date(2027, 3, 1)), ("-3", date(2027, 2, 27)),
        ("2027-01-09", date(2027, 1, 9)),
        ("20 Dec", date(2026, 12, 20)), ("31 Mar 2029", date(2029, 3, 31)), ("9 March", date(2027, 3, 9)),
    ],
)  # fmt: skip
def test_a_day_that_was_is_the_nearest(text: str, day: date):
    assert typed_days.day_of(text, TODAY) == day


@pytest.mark.parametrize(
    ("text", "day"),
    [("9", date(2027, 3, 9)), ("2", date(2027, 3, 2)), ("1", date(2027, 4, 1)), ("9 Mar", date(2027, 3, 9))],
)
def test_a_number_alone_is_that_day_of_this_month_or_the_next(text: str, day: date):
    assert typed_days.day_ahead(text, TODAY) == day


def test_no_month_has_such_a_day_and_the_turn_of_the_year_is_passed():
    assert typed_days.day_ahead("5", date(2027, 12, 20)) == date(2028, 1, 5)
    assert typed_days.day_ahead("31", date(2027, 2, 1)) == date(2027, 3, 31)
    for text in ("0", "32"):
        with pytest.raises(Refused, match="no month has"):
            typed_days.day_ahead(text, TODAY)


@pytest.mark.parametrize("read", [typed_days.day_of, typed_days.coming_day])
def test_a_number_is_no_day_where_a_day_is_asked_for(read: Callable[[str, date], object]):
    with pytest.raises(Refused, match='"60" is a number, not a day'):
        read("60", TODAY)


def test_a_day_of_a_plan_is_the_next_to_come():
    days = [typed_days.coming_day(text, TODAY) for text in ("20 Dec", "1 Mar", "2 Mar", "today", "2026-12-20", " ")]
    assert days == [date(2027, 12, 20), date(2028, 3, 1), TODAY, TODAY, date(2026, 12, 20), None]


def test_a_29_february_is_that_day_or_none():
    assert typed_days.day_of("29 Feb", date(2027, 3, 2)) == date(2028, 2, 29)
    assert typed_days.coming_day("29 feb", date(2025, 3, 2)) == date(2028, 2, 29)
    assert typed_days.coming_day("29 feb", date(2096, 3, 2)) == date(2104, 2, 29)
    with pytest.raises(Refused):
        typed_days.day_of("29 Feb", date(2026, 3, 2))


@pytest.mark.parametrize(
    ("text", "metric", "us"),
    [
        ("3/4", "3 Apr", "4 Mar"),
        ("03.04.2028", "3 Apr 2028", "4 Mar 2028"),
        ("3/4/28", "3 Apr 2028", "4 Mar 2028"),
        ("2028-03-04", "2028-03-04", "2028-03-04"),
        ("4 Mar", "4 Mar", "4 Mar"),
        ("-3", "-3", "-3"),
        ("yesterday", "yesterday", "yesterday"),
    ],
)
def test_a_day_in_numbers_is_put_into_words_in_the_order_of_the_farm(text: str, metric: str, us: str):
    """Common practice: the month first in the United States, the day first elsewhere."""
    assert (typed_days.day_in_words(text, "metric"), typed_days.day_in_words(text, "us")) == (metric, us)
    for words in (metric, us):
        typed_days.day_of(words, TODAY)


def test_what_is_said_of_a_day_in_numbers_is_the_day_that_is_meant():
    for n in range(366):
        day = date(2028, 1, 1) + timedelta(n)
        assert typed_days.day_of(typed_days.day_in_words(f"{day.day}/{day.month}/{day.year}", "metric"), TODAY) == day
        assert typed_days.day_of(typed_days.day_in_words(f"{day.month}/{day.day}/{day.year}", "us"), TODAY) == day


@pytest.mark.parametrize(("text", "units", "order"), [
    ("13/4", "us", "the month comes first"), ("4/13", "metric", "the day comes first"),
    ("29/2/2027", "metric", "no day"), ("0/0", "us", "no day"),
])  # fmt: skip
def test_a_day_in_numbers_that_is_none_is_refused_with_the_order(text: str, units: str, order: str):
    with pytest.raises(Refused, match=order):
        typed_days.day_in_words(text, units)


def test_a_day_may_be_taken_away():
    assert [typed_days.exact_day_or_none(text) for text in (None, "None", "2027-03-02")] == [None, None, TODAY]


def test_numbers_of_all_kinds():
    assert [typed_numbers.degrees_of(text) for text in ("12", "−3", "4,5", "12 °C", "12C")] == [12, -3, 4.5, 12, 12]
    assert [typed_numbers.count_or_all(text) for text in ("ALL", "12", " 3 ")] == [None, 12, 3]
    assert typed_numbers.grades_of(["first=40", "second=15", "first=2"]) == {"first": 42, "second": 15}
    assert typed_numbers.yields_of("25") == ((0, 25),)
    assert typed_numbers.yields_of("1=4,3=18") == ((1, 4), (3, 18))
    assert [typed_words.yes_of(text, "join") for text in ("yes", "Y", "no", "N")] == [True, True, False, False]
    part = typed_words.row_part_of("E26/1:3.5:80")
    assert part is not None
    assert (part.lot, part.metres, part.count) == ("E26/1", 3.5, 80)
    assert typed_words.row_part_of("beds") is None
    for text, units, metres in (("A:10:3", "us", 3.048), ("A:10ft:3", "metric", 3.048), ("A:3.5m:3", "us", 3.5)):
        part = typed_words.row_part_of(text, units)
        assert part is not None
        assert part.metres == pytest.approx(metres)
