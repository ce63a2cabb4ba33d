"""To open the screens."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import GOOD, Unusable
from tui.commands.shared.farms import enter
from tui.lean import import_textual

if TYPE_CHECKING:
    from engine.farm.reading import Reading
    from engine.schedule.nursery import Nursery


def open_screens(path: Path, on: date, known: tuple[Reading, Nursery] | None = None) -> int:
    house = enter(path, on, keep=True, known=known)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Unusable("the screens need a terminal; `widger week FARM` prints the week")
    import_textual()
    from tui.app import WidgerApp

    app = WidgerApp(house, None if on == door.today() else on)
    app.run()
    return app.return_code or GOOD
