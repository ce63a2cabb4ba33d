"""What a text may hold that a grower gives: in the farm file, the journal, a form and a call alike."""

from __future__ import annotations

import re
from typing import Any

from engine.reading.limits import LONGEST_TEXT

# Control characters but the tab and the ends of lines; what turns the direction of writing; halves of characters.
# Compiled where they are wanted, which is seldom.
_UNFIT = "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
_BREAKS = r"\s*[\t\r\n]\s*"
REMEDY = "write it in plain characters"


def unfit(text: str) -> str:
    """What is wrong with a text, as the end of a sentence; nothing where it may stand."""
    if text.isprintable() and len(text) <= LONGEST_TEXT:  # nearly all: told in a tenth of the time
        return ""
    if len(text) > LONGEST_TEXT:
        return f"is {len(text):,} characters long; the limit is {LONGEST_TEXT:,}"
    if found := re.search(_UNFIT, text):
        half = "\ud800" <= found[0] <= "\udfff"
        return f"holds {'half of a character' if half else f'a control character (U+{ord(found[0]):04X})'}"
    return ""


def plain(value: Any) -> bool:
    """Whether it is a text that may stand just as it is: not blank, on one line, without blanks at its ends."""
    return value.__class__ is str and value.isprintable() and 0 < len(value) <= LONGEST_TEXT and value == value.strip()


def on_one_line(text: str) -> str:
    """The text without blanks at its ends and without ends of lines."""
    text = text.strip()
    return re.sub(_BREAKS, " ", text) if "\n" in text or "\t" in text or "\r" in text else text


def unfit_within(value: Any) -> str:
    """What is wrong with the first unfit text in anything that JSON can hold; nothing where all may stand."""
    if isinstance(value, str):
        return unfit(value)
    if isinstance(value, dict):
        return next((told for item in value.items() if (told := unfit_within(list(item)))), "")
    if isinstance(value, list | tuple):
        return next((told for item in value if (told := unfit_within(item))), "")
    return ""
