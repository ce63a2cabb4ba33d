"""The look with which an app begins: light or dark as the grower has set it, in as many colours as there are.

And the filter that every line passes before it is drawn.
"""

from __future__ import annotations

import os
from typing import Any

from rich.console import Console
from rich.segment import Segment
from textual import constants
from textual.app import App
from textual.color import Color
from textual.filter import LineFilter

from tui.out import harmless
from tui.palette import THEMES


def few_colours() -> bool:
    """Whether none are wanted, or the terminal has sixteen; Textual asks the same, but only once a theme is there."""
    asked = constants.COLOR_SYSTEM
    found = Console(force_terminal=True, legacy_windows=False).color_system if asked == "auto" else asked
    return "NO_COLOR" in os.environ or found in ("standard", "windows")


def begin_look(app: App[Any], few: bool) -> None:
    """Give an app its first theme before anything is drawn: to change to it would read every style twice."""
    for theme in THEMES:
        app.register_theme(theme)
    light = os.environ.get("WIDGER_THEME") == "light"
    app.set_reactive(App.theme, f"widger-{'light' if light else 'dark'}{'-16' if few else ''}")
    app.set_class(app.current_theme.dark, "-dark-mode", update=False)
    app.set_class(not app.current_theme.dark, "-light-mode", update=False)
    app.stylesheet.set_variables(app.get_css_variables())


class Harmless(LineFilter):
    """Takes out of every line drawn what would steer the terminal: no name or note reaches it otherwise."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002
        """Give the segments as they are, but for texts that would steer."""
        return [
            segment if segment.control or segment.text.isprintable() else segment._replace(text=harmless(segment.text))
            for segment in segments
        ]


HARMLESS = Harmless()
