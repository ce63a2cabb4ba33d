"""What a text may hold, wherever it comes from."""

import pytest

from engine.reading.limits import LONGEST_TEXT
from engine.reading.texts import on_one_line, unfit, unfit_within


@pytest.mark.parametrize(
    "text",
    ["", "hazel", "Fässchen №2", "сарай", "梅", "two\nlines", "a\ttab", "x" * LONGEST_TEXT, "\u200d\N{SEEDLING}"],
)
def test_what_a_grower_writes_may_stand(text):
    assert unfit(text) == ""


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("\x1b[2J", "U+001B"),
        ("a\x00b", "U+0000"),
        ("\x9b31m", "U+009B"),
        ("abc\u202edcba", "U+202E"),
        ("\ud800", "half of a character"),
        ("x" * (LONGEST_TEXT + 1), "2,001 characters"),
    ],
)
def test_what_would_reach_a_terminal_as_something_else_may_not(text, told):
    assert told in unfit(text)
    assert told in unfit_within({"a": [1, None, {"b": ["fine", text]}]})
    assert told in unfit_within({text: 1})


def test_a_text_over_several_lines_becomes_one():
    assert on_one_line(" chill \n  well,\r\nthen sow\t") == "chill well, then sow"
