"""`widger done`: record a step done."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words
from tui.out import warn

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.acts import propagation
    from engine.acts.batches import find_place

    farm, (batch, step) = split_words(call)

    rest: list[str] = []
    there, count = (None, call.count) if call.go_on is None else (call.count, call.go_on)

    def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
        lot = propagation.find_lot(nursery.records, batch)
        if over := [s for s in lot.batch.protocol.before(propagation.find_step(lot, step)) if s not in lot.done]:
            warn(f"not recorded and now skipped: {', '.join(sorted(over))}")
        if call.run:
            place = find_place(nursery.farm, call.place or "")
            return propagation.pot_run(nursery.records, lot, call.count or 0, place, call.on, call.on)
        told = propagation.Told(count, call.left, there, call.cause, not call.apart)
        action = propagation.do(nursery.records, lot, step, told, call.on, call.on)
        rest.append(propagation.said_of_rest(lot, action))
        return action

    return record_one(call, farm, make, lambda: filter(None, rest[-1:]))


COMMAND = Command(
    run,
    "[FARM] BATCH STEP",
    "record a step done",
    (
        ("--count", {"type": int, "metavar": "N", "help": "how many went in, or were found alive (default: all)"}),
        ("--go-on", {"type": int, "metavar": "N", "help": "of those found alive, how many go on (default: all)"}),
        ("--cause", {"default": "", "metavar": "C", "help": "if some were thrown out, why"}),
        ("--left", {"type": int, "default": 0, "metavar": "N", "help": "how many are still to do"}),
        (
            "--run",
            {"action": "store_true", "help": "only what has thrown radicles: potted, the rest stays in the cold"},
        ),
        ("--place", {"metavar": "PLACE", "help": "with --run: where the pots stand"}),
        ("--apart", {"action": "store_true", "help": "keep parts apart that could be joined"}),
    ),
)
