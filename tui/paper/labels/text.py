"""Labels as plain text, one block a label, within 40 columns."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from tui.paper.labels.label import Label, ways_to_say
from tui.paper.labels.layout import wrap

WIDTH = 40


def text_labels(labels: Iterable[Label]) -> str:
    """The labels, a blank line between them."""
    return "\n\n".join("\n".join(text_label(label)) for label in labels)


def text_label(label: Label) -> list[str]:
    """Its lines: names are whole, for there is always another line; only a word wider than a line is broken."""
    whole, *others = ways_to_say(label)
    tied = not any(wrap(said, WIDTH, columns)[1] for _, said in whole)
    said = whole if tied or not others else others[0]
    return [line for _, text in said for line in wrap(text, WIDTH, columns)[0]]


def columns(text: str) -> int:
    """How many columns a text takes in a terminal: none for a mark on a letter, two for a wide letter."""
    if text.isascii():  # as most is
        return len(text)
    return sum(
        0 if unicodedata.combining(letter) else 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        for letter in text
    )
