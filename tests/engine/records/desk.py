"""A farm with a journal in memory, taking one action after another; and entries as another device would write them."""

from __future__ import annotations

from datetime import date
from typing import Any

from engine.acts.action import Action
from engine.farm.model import Farm
from engine.farm.stock import Need
from engine.journal.entry import Entry, parse, to_line
from engine.journal.undone import standing
from engine.records.records import Records, apply
from engine.schedule.nursery import Nursery, open_nursery


def entry(number: int, kind: str, on: date, device: str = "lamp", **data: Any) -> Entry:
    """An entry of a day, before those of a desk that day or among them."""
    return Entry(f"{device}-{number}", f"{on}T07:{number:02}:00+00:00", on, kind, data)


class Desk:
    """A farm with a journal."""

    def __init__(self, home: Farm, today: date) -> None:
        self.home, self.today = home, today
        self.entries: list[Entry] = []
        self.before: Nursery | None = None

    @property
    def records(self) -> Records:
        return apply(self.home, standing(tuple(self.entries)))

    @property
    def nursery(self) -> Nursery:
        self.before = open_nursery(self.home, self.records, self.before)
        return self.before

    @property
    def needs(self) -> dict[str, Need]:
        return {need.id: need for need in self.nursery.farm.needs}

    def take(self, action: Action, device: str = "desk") -> Entry:
        number = len(self.entries)
        at = f"{self.today}T08:{number:02}:00+00:00"
        made = Entry(f"{device}-{number}", at, action.on, action.kind, action.data)
        assert parse(to_line(made)[:-1])[1] == made  # it can stand in a journal
        self.entries.append(made)
        return made

    def undo(self) -> None:
        self.take(Action("undo", self.today, {"of": self.entries[-1].id}))
