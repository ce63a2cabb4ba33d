"""A page for the wall: within 80 columns, no colour."""

from __future__ import annotations

from textwrap import wrap

WIDTH = 80
"""Columns of a page."""

ADVISES = "Follow labels, local law and your plant-health authority."
"""Stands at the foot of what a grower might follow by the letter."""


def indented(text: str, indent: str = " " * 13, width: int = WIDTH) -> list[str]:
    """The text broken to the page beneath an indent (which may end in a sign); no line where there is no text."""
    return wrap(text, width, initial_indent=indent, subsequent_indent=" " * len(indent))
