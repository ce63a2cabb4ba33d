"""Which field of a form a refusal is about: there the cursor goes, and nothing is typed where it was not meant."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from typing import Any

from rich.text import Text
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, Label

from engine.acts.action import say_refusal

_GENERAL = frozenset(("how", "from", "to", "the", "when", "what", "why", "where", "nothing", "which", "for", "a"))
"""Words with which a refusal may begin that is about another field."""


class Values(dict[str, str]):
    """What the fields of a form hold, by their names; it knows which was read last."""

    def __init__(self, held: Mapping[str, str]) -> None:
        super().__init__(held)
        self.last = ""

    def __getitem__(self, name: str) -> str:
        self.last = name
        return super().__getitem__(name)


def show_refusal(screen: Screen[Any], refusal: Exception, field: Input | None = None) -> None:
    """Say in a form why it is refused: on the line that every form keeps for it; under its field in one that scrolls.

    Wherever it stands, it is brought into view.
    """
    line = screen.query_one(".refusal", Label)
    line.update(Text(say_refusal(refusal)))
    if field is not None:
        field.focus()

    def show() -> None:  # it is known by now how much room the words take
        form = line.parent
        if field is not None and field.parent is form and isinstance(form, Widget) and form.max_scroll_y > 0:
            form.move_child(line, after=field)
        screen.call_after_refresh(line.scroll_visible, animate=False)

    screen.call_after_refresh(show)


def at_fault(
    screen: Screen[Any],
    told: str,
    first: Mapping[str, str],
    values: Values,
    ruled: bool,
    refused: Callable[[Values], str],
    asked: Collection[str],
) -> Input | None:
    """The field that a refusal is about; None where it is about none of them.

    It is the one whose words are told again; else the one that the refusal names; else, where nothing was `ruled` on
    yet, the one that was read last; else one that is `asked` and empty; else one without which, as it was at `first`,
    it would not be refused so. What is asked cannot be left out: it would be refused for that.
    """
    fields = [field for field in screen.query(Input) if not field.disabled]
    again = told.lower()
    typed = [field for field in fields if field.value.strip() and f'"{field.value.strip().lower()}"' in again]
    if len(typed) == 1:
        return typed[0]
    words = {word for word in re.findall(r"[a-z]+", again) if len(word) > 3}
    named = next((field for field in fields if _named(field, told)), None)
    if named := named or next((field for field in fields if (field.id or "").removeprefix("of_") in words), None):
        return named
    empty = next((field for field in fields if field.id in asked and not field.value.strip()), None)
    if ruled and empty is not None:
        return empty
    if not ruled and values.last:
        return next((field for field in fields if field.id == values.last), None)
    if len(fields) == 1:
        return fields[0]
    for field in fields:
        was = first.get(field.id or "", "")
        if field.value.strip() == was:
            continue
        then = refused(Values({**values, field.id or "": was}))
        if not then or (then != told and field.id not in asked):
            return field
    return None


def _named(field: Input, told: str) -> bool:
    """Whether a refusal begins with the words that stand before a field."""
    beside = list(field.parent.children) if field.parent else []
    label = beside[beside.index(field) - 1] if field in beside else None
    name = str(label.render()).split(" (")[0] if isinstance(label, Label) else ""
    if not name:
        return False
    first = name.split()[0]
    return told.startswith(name) or (first not in _GENERAL and told.split()[0].rstrip(":") == first)
