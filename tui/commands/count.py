"""`widger count`: record how many were counted, on hand or going."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.ledger import OF, REASON, on_count

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import count

    return on_count(call, lambda ledger, held, n: count(ledger, held, n, call.reason or ""), counting=True)


COMMAND = Command(
    run,
    "[FARM] LOT COUNT",
    "record a count: how many there are, or are alive",
    (REASON, *OF),
)
