"""Levelling from the year screen: worked out in a thread of its own, shown, and written only when it is chosen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from engine.acts import propagation
from engine.acts.action import Action, Refused, say_refusal
from engine.journal.entry import Entry
from engine.journal.store import JournalError
from engine.schedule.nursery import Nursery
from engine.views.level import Levelled, levelled
from tui.cells import counted
from tui.forms.choice import ChoiceScreen
from tui.in_a_thread import work_out
from tui.paper.level import level_lines
from tui.writing import write_all

if TYPE_CHECKING:
    from engine.views.year import Year
    from tui.screen import FarmScreen

SHOWN = 10
"""So many acts are named in the question; the rest are counted."""


def start_level(screen: FarmScreen, year: Year) -> None:
    """Begin, and say so; the keys go on working."""
    screen.tell("levelling …")
    name = ("level", year.weeks[0].start)
    work_out(
        screen,
        name,
        lambda day: levelled(day, year),
        lambda found: _ask(screen, found),
    )


def _ask(screen: FarmScreen, found: Levelled) -> None:
    app = screen.app
    if app.screen is not screen:
        return  # the grower has gone on to something else
    if not found.puttings:
        full = any(week.over and week.end >= app.today for week in found.before.weeks)
        screen.tell("none of the overload can be put off within its window" if full else "no week is too full")
        return
    count = len(found.puttings)
    options = [
        ("put off", f"put off {counted(count, 'task')}: u undoes it all"),
        ("", "leave everything as it is"),
    ]
    screen.tell("")
    app.push_screen(
        ChoiceScreen("Level the weeks", options, "\n".join(level_lines(found, SHOWN))),
        lambda chosen: _write(screen, found) if chosen else None,
    )


def _write(screen: FarmScreen, found: Levelled) -> None:
    today = screen.app.today

    def make(nursery: Nursery, _: Sequence[Entry]) -> list[Action]:
        return propagation.put_off(nursery, [(each.lot, each.step, each.to) for each in found.puttings], today)

    try:
        write_all(screen, make)
    except (Refused, JournalError) as refusal:
        screen.tell(say_refusal(refusal))
        return
    count = len(found.puttings)
    screen.tell(f"{counted(count, 'task')} put off")
