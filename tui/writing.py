"""Write one entry from the screen, and show the farm as it then stands."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from engine.journal.actions import Action, Refused, said
from engine.journal.actions import undo as undo_latest
from engine.journal.entry import Entry
from engine.journal.store import JournalError
from engine.schedule.plan import Nursery

if TYPE_CHECKING:
    from tui.screen import FarmScreen

Make = Callable[[Nursery, tuple[Entry, ...]], Action]


def write(screen: FarmScreen, make: Make) -> None:
    """Record one action and show what it changes. Raises Refused or JournalError; the board then stays as it is."""
    entry = screen.app.record(make)
    screen.derive()
    screen.said = said(entry)


def attempt(screen: FarmScreen, make: Make) -> bool:
    """Record one action, or say at the foot why it is refused. Whether it was recorded."""
    try:
        write(screen, make)
    except (Refused, JournalError) as refusal:
        hint = getattr(refusal, "hint", "")
        screen.tell(f"{refusal}" + (f" ({hint})" if hint else ""))
        return False
    return True


def undo(screen: FarmScreen) -> None:
    """Undo the latest entry of this device, and say which it was."""
    undone: list[str] = []

    def make(_: Nursery, entries: tuple[Entry, ...]) -> Action:
        action, entry = undo_latest(entries, screen.app.device)
        undone.append(said(entry))
        return action

    if attempt(screen, make):
        screen.tell(f"undone: {undone[-1]}")
