"""Labels as plain text, one block a label, within 40 columns."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from tui.paper.labels.label import Label, paragraphs
from tui.paper.labels.layout import wrap

WIDTH = 40


def text_labels(labels: Iterable[Label]) -> str:
    """The labels, a blank line between them."""
    return "\n\n".join("\n".join(text_label(label)) for label in labels)


def text_label(label: Label) -> list[str]:
    return [line for _, said in paragraphs(label) for line in wrap(said, WIDTH, columns)[0]]


def columns(text: str) -> int:
    """How many columns a text takes in a terminal: none for a mark on a letter, two for a wide letter."""
    return sum(
        0 if unicodedata.combining(letter) else 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        for letter in text
    )
