"""What somebody wrote as text, at a form, in a call or in a table: the one rule for a whole number, a number, a share.

A share is a plain number up to 1, or above 1 in per cent; with a % sign it is always per cent. So 1 is 100 %, as
`survive = 1` is in a farm file, and one per cent is 1%. Were 1 read as one per cent, who wrote it for a certainty would
ask for next to nothing and not be told; as it is, a sureness of 1 is refused.
"""

from __future__ import annotations

from math import isfinite


def read_whole(text: str) -> int | None:
    """A whole number from 0 to 999,999,999; None where it is none."""
    digits = text.strip()
    return int(digits) if digits.isdecimal() and len(digits) < 10 else None


def read_number(text: str) -> float | None:
    """A number, its decimals after a point or a comma; None where it is none."""
    try:
        number = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return number if isfinite(number) else None


def read_share(text: str) -> float | None:
    """A share from 0 to 1: 0.9, 90, 90 % or 99,5; None where it is none."""
    number = read_number(text.strip().removesuffix("%"))
    if number is None or not 0 <= number <= 100:
        return None
    return round(number / 100, 9) if number > 1 or text.strip().endswith("%") else number
