"""The page of help: the signs and the states first, then the keys, in two columns where there is room."""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import wrap

from rich.text import Text

STATES = (
    ("missed", "its window closed before it was done"),
    ("overdue", "late, but it can still be done: do it now"),
    ("closing", "a week is left or less, or too few hours"),
    ("open", "it can be done now"),
    ("held", "you hold it back, with a reason"),
    ("not yet", "the step before it is not done"),
    ("coming", "it opens within two weeks"),
    ("later", "it opens later than that"),
    ("done", "done"),
)
"""The states of a task, in words."""
FRAME = 6
"""Columns that the frame and the bar of a page take."""
TWO = 60
"""From so many columns on there are two."""
Item = tuple[str, str]


def signs_of(legend: str) -> list[Item]:
    """`● today  : ≈ warm` as items: the signs, and what they mean."""
    found = []
    for part in re.split(r"\n|\s{2,}", legend):
        words = part.split(" ")
        signs = next((n for n, word in enumerate(words) if len(word) > 1), len(words)) or 1
        found.append((" ".join(words[:signs]), " ".join(words[signs:])))
    return [item for item in found if item[0]]


def help_page(title: str, parts: Sequence[tuple[str, Sequence[Item]]], end: str, screen: int) -> Text:
    """The page for a screen of so many columns: each part under its head, then a last line."""
    text, width = Text(title, style="bold"), min(screen, 120) - FRAME
    for head, items in parts:
        if items:
            text.append(f"\n{head}", style="bold underline")
            _columns(text, items, width)
    for line in wrap(end, width):
        text.append(f"\n{line}", style="not bold not underline")
    return text


def _columns(text: Text, items: Sequence[Item], width: int) -> None:
    """Items one below the other, down the first column and then down the second."""
    count = 2 if width >= TWO else 1
    column = (width - 2 * (count - 1)) // count
    first = max(len(name) for name, _ in items) + 1
    blocks = []
    for name, told in items:
        lines = wrap(told, max(10, column - first)) or [""]
        blocks.append([(name, lines[0]), *(("", line) for line in lines[1:])])
    sides = _halves(blocks) if count == 2 else [[line for block in blocks for line in block]]
    for n in range(max(map(len, sides))):
        text.append("\n")
        for k, side in enumerate(sides):
            name, told = side[n] if n < len(side) else ("", "")
            text.append(f"{name:<{first}}", style="bold not underline")
            last = k == len(sides) - 1
            text.append(told if last else f"{told:<{column - first + 2}}", style="not bold not underline")


def _halves(blocks: list[list[Item]]) -> list[list[Item]]:
    """The blocks in two columns, the first as little longer than the second as can be."""
    total, left = sum(map(len, blocks)), list[Item]()
    while blocks and len(left) < (total + 1) // 2:
        left += blocks.pop(0)
    return [left, [line for block in blocks for line in block]]
