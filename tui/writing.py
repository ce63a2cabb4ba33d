"""Write one entry from the screen, and show the farm as it then stands."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from engine.acts.action import Action, Refused, say_refusal
from engine.journal.entry import Entry
from engine.journal.store import JournalError
from engine.records.words import said
from engine.schedule.nursery import Nursery

if TYPE_CHECKING:
    from tui.farm_app import FarmApp

Make = Callable[[Nursery, Sequence[Entry]], Action]


class Recorder(Protocol):
    """A screen from which something is recorded: it shows the farm as it then stands, and says what happened."""

    said: str

    @property
    def app(self) -> FarmApp: ...

    def derive(self) -> None:
        """Show the farm as it stands."""

    def tell(self, words: str) -> None:
        """Say it at the foot."""


def write(screen: Recorder, make: Make, every: bool = False) -> None:
    """Record one action and show what it changes. Raises Refused or JournalError; the board then stays as it is.

    With `every`, `make` sees the entries that do not stand too.
    """
    entry = screen.app.record(make, every)
    screen.derive()
    screen.said = said(entry, screen.app.house.farm.units)


def write_all(screen: Recorder, make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]]) -> tuple[Entry, ...]:
    """Record several actions in one append, all or none, as `write` records one."""
    entries = screen.app.record_all(make)
    screen.derive()
    screen.said = "; ".join(said(entry, screen.app.house.farm.units) for entry in entries)
    return entries


def attempt(screen: Recorder, make: Make, every: bool = False) -> bool:
    """Record one action, or say at the foot why it is refused. Whether it was recorded."""
    try:
        write(screen, make, every)
    except (Refused, JournalError) as refusal:
        screen.tell(say_refusal(refusal))
        return False
    return True


def attempt_all(screen: Recorder, make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]]) -> bool:
    """Record several actions, all or none, or say at the foot why one is refused. Whether they were recorded."""
    try:
        write_all(screen, make)
    except (Refused, JournalError) as refusal:
        screen.tell(say_refusal(refusal))
        return False
    return True
