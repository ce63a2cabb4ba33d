"""`widger change`: change a batch that has not started."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable
from tui.commands.shared.entries import record_one, split_words
from tui.fields import exact_day_or_none, whole_of

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.acts.batches import KEEP, change_batch

    farm, (name,) = split_words(call)
    given = (call.count, call.start, call.ready, call.cultivar)
    if all(value is None for value in given):
        raise Unusable("say what changes: --count N, --start D, --ready D or --cultivar C")
    count = KEEP if call.count is None else whole_of(call.count, "--count")
    start = KEEP if call.start is None else exact_day_or_none(call.start)
    ready = KEEP if call.ready is None else exact_day_or_none(call.ready)
    cultivar = KEEP if call.cultivar is None else call.cultivar

    def make(nursery: Nursery, _: tuple[Entry, ...]) -> Action:
        return change_batch(nursery, name, call.on, count=count, start=start, ready=ready, cultivar=cultivar)

    return record_one(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] ID",
    "change a batch that has not started",
    (
        ("--count", {"metavar": "N", "help": "how many"}),
        ("--start", {"metavar": "D", "help": "nothing before this day; none takes it away"}),
        ("--ready", {"metavar": "D", "help": "done by this day; none takes it away"}),
        ("--cultivar", {"metavar": "C"}),
    ),
)
