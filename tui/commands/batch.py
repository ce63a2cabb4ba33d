"""`widger batch`: add a batch, from --start on or ready by --ready; where neither is said, from today on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words
from tui.typed_days import exact_day_or_none
from tui.typed_numbers import whole_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.batches import NewBatch, new_batch

    farm, (name, species, method, count) = split_words(call)
    start, ready = exact_day_or_none(call.start), exact_day_or_none(call.ready)
    if start is None and ready is None:
        start = call.on
    wanted = NewBatch(
        name, species, method, whole_of(count, "COUNT"), start, ready,
        call.route or "", call.cultivar or "", call.place or "", call.note or "",
        call.rootstock or "", call.source or "", exact_day_or_none(call.came), call.general,
    )  # fmt: skip
    return record_one(call, farm, lambda nursery, _: new_batch(nursery, wanted, call.on))


COMMAND = Command(
    run,
    "[FARM] ID SPECIES METHOD COUNT",
    "add a batch, from today or --start on, or ready by --ready",
    (
        ("--start", {"metavar": "D", "help": "nothing before this day (default: today, where --ready is not given)"}),
        ("--ready", {"metavar": "D", "help": "done by this day"}),
        ("--route", {"metavar": "R", "help": "which route, where the method has several"}),
        ("--cultivar", {"metavar": "TEXT"}),
        ("--place", {"metavar": "TEXT"}),
        ("--note", {"metavar": "TEXT"}),
        ("--rootstock", {"metavar": "TEXT", "help": "what it is grafted on"}),
        ("--from", {"dest": "source", "metavar": "WHOM", "help": "from whom, or where, its seed or wood came"}),
        ("--general", {"action": "store_true", "help": "by the general method, where this plant has none of its own"}),
        ("--came", {"metavar": "D", "help": "when that came"}),
    ),
)
