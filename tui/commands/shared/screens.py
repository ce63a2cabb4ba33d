"""To open the screens."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import GOOD, Unusable
from tui.commands.shared.farms import enter, unread
from tui.lean_textual import import_textual
from tui.together import BOARD

if TYPE_CHECKING:
    from engine.farm.reading import Reading
    from engine.schedule.nursery import Nursery


def open_screens(path: Path, on: date) -> int:
    """Open the screens on a farm; gives the exit status once they are left."""
    with BOARD:
        run = ready(path, on)
    return run()


def ready(path: Path, on: date, known: tuple[Reading, Nursery] | None = None) -> Callable[[], int]:
    """What opens the screens on a farm, all that they begin with read. Of a file just written, what is `known`."""
    from tui.farmhouse import is_large

    shown, today = sys.stdin.isatty() and sys.stdout.isatty(), None if on == door.today() else on
    if shown and is_large(path):
        return _ready_large(path, today)
    house = enter(path, on, keep=True, known=known)
    if not shown:
        raise Unusable("the screens need a terminal; `widger week FARM` prints the week")
    import_textual()
    from tui.app import WidgerApp

    app = WidgerApp(house, today)

    def run() -> int:
        app.run()
        return app.return_code or GOOD

    return run


def _ready_large(path: Path, today: date | None) -> Callable[[], int]:
    """A screen at once, which tells how far the reading has come."""
    import_textual()
    from tui.opening import OpeningApp

    app = OpeningApp(path, today)

    def run() -> int:
        app.run()
        if app.unread is not None:
            unread(app.unread)
        if app.failed is not None:
            raise app.failed
        return app.return_code or GOOD

    return run
