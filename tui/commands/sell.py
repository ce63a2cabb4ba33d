"""`widger sell`: record a sale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.ledger import NEED, OF, TO, UNNAMED, goes_out

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    return goes_out(call, "sell")


COMMAND = Command(
    run,
    "[FARM] LOT COUNT",
    "record a sale",
    (TO, NEED, UNNAMED, *OF),
)
