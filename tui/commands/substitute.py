"""`widger substitute`: another kind goes in the stead of what a need is short of, with the customer's word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_several, split_words
from tui.typed_numbers import whole_of

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.acts.action import Refused
    from engine.needs.allotment import allot
    from engine.needs.packed_and_sent import substitute
    from engine.reading.problems import nearest
    from engine.schedule.plan import day_of

    farm, (need, lot, number) = split_words(call)
    count = whole_of(number, "COUNT")

    def make(nursery: Nursery, entries: Sequence[Entry]) -> list[Action]:
        allotted = allot(day_of(nursery, call.on))
        free = [line for line in allotted.lines if line.free > 0]
        mine = [line for line in free if line.lot.lower() == lot.lower()]
        if not mine:
            raise Refused(f"none of {lot} is free", nearest(lot, [line.lot for line in free]))
        return substitute(
            nursery, entries, need, max(mine, key=lambda line: line.free), count, call.word or "", call.on
        )

    return record_several(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] NEED LOT COUNT",
    "send another kind instead of what a need is short of, with the customer's word",
    (("--word", {"metavar": "TEXT", "help": "who agreed, and how: needed"}),),
)
