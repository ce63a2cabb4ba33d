"""Textual without its palette of commands: Widger has none, and a tenth of Textual's import goes into that one."""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib import import_module
from types import ModuleType

_PALETTE = "textual.command"
_ASKED_FOR = ("CommandListItem", "CommandPalette", "DiscoveryHit", "Hit", "Hits", "Provider", "SimpleProvider")
"""What Textual itself asks of the palette while it is imported: to name it, and to derive from it."""


def import_textual() -> None:
    """Import Textual's App, where nobody has; a Textual that asks for more of its palette gets the palette."""
    if _PALETTE in sys.modules or "textual.app" in sys.modules:
        return
    stand_in = ModuleType(_PALETTE)
    vars(stand_in).update({name: type(name, (), {}) for name in _ASKED_FOR})
    sys.modules[_PALETTE] = stand_in
    try:
        with suppress(ImportError):
            import_module("textual.app")
    finally:
        del sys.modules[_PALETTE]  # whoever wants it later imports it whole
