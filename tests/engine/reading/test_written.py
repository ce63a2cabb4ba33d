"""One reader for a whole number, a number and a share, wherever it is written."""

from __future__ import annotations

import pytest

from engine.reading.written import read_number, read_share, read_whole


@pytest.mark.parametrize(
    ("text", "whole", "number", "share"),
    [
        ("12", 12, 12.0, 0.12),
        (" 1 ", 1, 1.0, 1.0),
        ("1%", None, None, 0.01),
        ("99,5", None, 99.5, 0.995),
        ("0.9", None, 0.9, 0.9),
        ("101", 101, 101.0, None),
        ("1234567890", None, 1234567890.0, None),
        ("-1", None, -1.0, None),
        ("nan", None, None, None),
        ("²", None, None, None),
        ("", None, None, None),
    ],
)
def test_what_is_written_is_read_or_is_none(text: str, whole: int | None, number: float | None, share: float | None):
    assert (read_whole(text), read_number(text), read_share(text)) == (whole, number, share)
