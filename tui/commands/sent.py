"""`widger sent`: record that a customer's parcel has gone, each of its lines with the lots that it was picked from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_several, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.needs.packed_and_sent import send

    farm, (who,) = split_words(call)
    return record_several(call, farm, lambda nursery, entries: send(nursery, entries, who, call.on, call.fetched))


COMMAND = Command(
    run,
    "[FARM] FOR",
    "record that a customer's parcel has gone: what it was picked from leaves the stock; one undo reverses it",
    (("--fetched", {"action": "store_true", "help": "the customer came for it: on any day"}),),
)
