"""Numbers in words, in one form everywhere."""

from __future__ import annotations

from collections.abc import Sequence


def in_words(names: Sequence[str]) -> str:
    """`France`, `France and Spain`, `France, Spain and Italy`."""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


def percent(share: float, digits: int = 0) -> str:
    """`50 %`: a share from 0 to 1, with so many digits after the point."""
    return f"{share * 100:.{digits}f} %"


def percent_given(share: float, figures: int = 4) -> str:
    """`92.5 %`: a share as it was given, with so many figures at the most."""
    return f"{share * 100:.{figures}g} %"


def whole_or_not(number: float) -> float:
    """14 rather than 14.0, as a file has it."""
    return int(number) if float(number).is_integer() else number
