"""The commands that add a batch and change one that has not started: each writes one entry, or is refused."""

from __future__ import annotations

import argparse
from datetime import date
from typing import TYPE_CHECKING

from tui.commands.record import record_one, split_words
from tui.commands.shared import Unusable, day_of, whole_of

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery

NONE = "none"
"""Said for a date that is to be taken away."""


def new(call: argparse.Namespace) -> int:
    from engine.acts.batches import NewBatch, new_batch

    farm, (name, species, method, count) = split_words(call.words, ("ID", "SPECIES", "METHOD", "COUNT"))
    wanted = NewBatch(
        name, species, method, whole_of(count, "COUNT"), _day(call.start), _day(call.ready),
        call.route or "", call.cultivar or "", call.place or "", call.note or "",
    )  # fmt: skip
    return record_one(call, farm, lambda nursery, _: new_batch(nursery, wanted, call.on))


def change(call: argparse.Namespace) -> int:
    from engine.acts.batches import KEEP, change_batch

    farm, (name,) = split_words(call.words, ("ID",))
    given = (call.count, call.start, call.ready, call.cultivar)
    if all(value is None for value in given):
        raise Unusable("say what changes: --count N, --start D, --ready D or --cultivar C")
    count = KEEP if call.count is None else whole_of(call.count, "--count")
    start = KEEP if call.start is None else _day(call.start)
    ready = KEEP if call.ready is None else _day(call.ready)
    cultivar = KEEP if call.cultivar is None else call.cultivar

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        return change_batch(nursery, name, call.on, count=count, start=start, ready=ready, cultivar=cultivar)

    return record_one(call, farm, make)


def _day(text: str | None) -> date | None:
    return None if text is None or text.lower() == NONE else day_of(text)
