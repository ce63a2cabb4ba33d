"""The short words of a lot under treatment that the screen and the sheet share."""

from __future__ import annotations

from datetime import date

from engine.protocols.model import Days
from engine.views.cold import LOST, ColdLot
from tui.paper.sheets import day

COLUMNS = ("look", "ready", "sow by")


def phase_cell(lot: ColdLot) -> str:
    """`warm`, `cold`, `radicles`, `lost`, `to cold` where it has not begun: eight cells at the most."""
    if lot.phase == LOST:
        return LOST
    if lot.radicles is not None:
        return "radicles"
    return lot.phase if lot.begun else f"to {lot.phase}"


def day_cell(lot: ColdLot, today: date) -> str:
    """`52/90-120`: the day, of its least and most; `in 12 d` where it has not begun."""
    if lot.day is None:
        start = lot.now.start
        return "" if start is None else "due" if start <= today else f"in {(start - today).days} d"
    return f"{lot.day}/{range_cell(lot.now.lasts)}"


def range_cell(days: Days) -> str:
    if days.most is None:
        return f"{days.least}+"
    return f"{days.least}" if days.most == days.least else f"{days.least}-{days.most}"


def date_cells(lot: ColdLot, today: date) -> tuple[str, str, str]:
    """Next look, ready, sow by: `due`, `22 Feb`, and `Mar'28` for what is far off."""
    look = "due" if lot.next_look == today else _near(lot.next_look, today)
    ready = "now" if lot.ready is not None and lot.ready <= today else _near(lot.ready, today)
    return look, ready, _near(lot.sow_by, today)


def _near(when: date | None, today: date) -> str:
    if when is None:
        return "-"
    return f"{when:%b'%y}" if abs((when - today).days) > 300 else day(when)
