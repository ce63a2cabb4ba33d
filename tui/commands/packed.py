"""`widger packed`: record that what is ready for a customer is packed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_several, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.needs.packed_and_sent import pack

    farm, (who,) = split_words(call)
    return record_several(call, farm, lambda nursery, _: pack(nursery, who, call.on))


COMMAND = Command(
    run,
    "[FARM] FOR",
    "record that what is ready for a customer is packed",
)
