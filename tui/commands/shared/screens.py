"""To open the screens."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import GOOD, Unusable
from tui.commands.shared.farms import enter, unread
from tui.lean import import_textual
from tui.patterns import kept

if TYPE_CHECKING:
    from engine.farm.reading import Reading
    from engine.schedule.nursery import Nursery


def open_screens(path: Path, on: date, known: tuple[Reading, Nursery] | None = None) -> int:
    from tui.farmhouse import is_large

    shown, today = sys.stdin.isatty() and sys.stdout.isatty(), None if on == door.today() else on
    if shown and is_large(path):
        return _open_large(path, today)
    house = enter(path, on, keep=True, known=known)
    if not shown:
        raise Unusable("the screens need a terminal; `widger week FARM` prints the week")
    with kept():
        import_textual()
        from tui.app import WidgerApp

    app = WidgerApp(house, today)
    app.run()
    return app.return_code or GOOD


def _open_large(path: Path, today: date | None) -> int:
    """A screen at once, which tells how far the reading has come."""
    import_textual()
    from tui.opening import OpeningApp

    app = OpeningApp(path, today)
    app.run()
    if app.unread is not None:
        unread(app.unread)
    if app.failed is not None:
        raise app.failed
    return app.return_code or GOOD
