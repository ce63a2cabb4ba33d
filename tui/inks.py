"""With what the lines of a list, their heads and their keys are inked, in the colours of the look that is on.

They are no styles of widger.tcss: Textual works such styles out anew, for every widget, at each change of focus or size
and four times before the first frame.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, partial
from typing import Any

from rich.style import Style
from textual.app import App
from textual.color import Color

INKS = {
    "place": ("primary", "surface", "bold"), "missed": ("background", "error", "bold"),
    "closing": ("warning", "", "bold"), "open": ("accent", "", ""), "quiet": ("secondary", "", ""),
    "held": ("primary", "", "italic"), "plain": ("foreground", "", ""), "cursor": ("", "tint", "bold"),
    "key": ("primary", "", "bold"), "here": ("background", "primary", "bold"), "head": ("primary", "", "bold"),
}  # fmt: skip
"""The colour and the ground of each, as a theme names them, and its weight; empty where what is beneath shows."""
UNCOLOURED = {"missed": "bold underline", "cursor": "reverse bold", "here": "reverse bold"}
"""The weights of those that must stand out where there are no colours."""

COLOURS = ("primary", "secondary", "accent", "warning", "error", "foreground", "background", "surface", "tint")
Look = tuple[tuple[str, ...], bool, bool]
"""The COLOURS of a theme, whether none are wanted, and whether the terminal has few."""


def ink(app: App[Any], name: str) -> Style:
    """How that is inked, over whatever it lies on."""
    return _ink(_look(app), name)


def line_inks(app: App[Any]) -> Callable[[str, bool], Style]:
    """How a line of a list is inked, by its look and whether the cursor is on it, on the list's ground."""
    return partial(_ink_of_line, _look(app))


def _look(app: App[Any]) -> Look:
    known = app.theme_variables
    return tuple([known[name] for name in COLOURS]), app.no_color, app.native_ansi_color


def _colour(look: Look, name: str) -> Any:
    return Color.parse(look[0][COLOURS.index(name)]).rich_color if name else None


@lru_cache(maxsize=256)
def _ink(look: Look, name: str) -> Style:
    _, none, few = look
    colour, ground, weight = INKS[name]
    if none or (few and name == "cursor"):
        weight = UNCOLOURED.get(name, weight)
    return Style.parse(weight) + Style.from_color(_colour(look, colour), _colour(look, ground))


@lru_cache(maxsize=256)
def _ink_of_line(look: Look, name: str, cursor: bool) -> Style:
    base = Style.from_color(_colour(look, "foreground"), _colour(look, "background"))
    style = base + _ink(look, name)
    if not cursor:
        return style
    tint = _ink(look, "cursor")
    return style + (tint.without_color if name == "missed" else tint)  # what was missed keeps a ground of its own
