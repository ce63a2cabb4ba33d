"""`widger verify`: say that a lot's name is certain again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.ledger import REASON, on_lot

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import verify

    return on_lot(call, verify)


COMMAND = Command(
    run,
    "[FARM] LOT",
    "say that a lot's name is certain again",
    (REASON,),
)
