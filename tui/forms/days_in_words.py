"""Days typed all in numbers: each is put into words in its field, to be read by the grower before it is saved."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from textual.screen import Screen
from textual.widgets import Input, Label

from tui.typed_days import day_in_words


def put_in_words(screen: Screen[Any], names: Iterable[str], units: str) -> bool:
    """Put such days into words, in the order of the farm's units, and say so; whether any was. Raises Refused."""
    told = []
    for name in names:
        field = screen.query_one(f"#{name}", Input)
        if (words := day_in_words(field.value, units)) != field.value:
            told.append(f"{field.value.strip()} is {words}")
            field.value = words
    if told:
        line = screen.query_one(".refusal", Label)  # a form clears it when a field changes: it is said after that
        screen.call_after_refresh(line.update, f"{', '.join(told)}: save again to keep it")
    return bool(told)
