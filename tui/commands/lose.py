"""`widger lose`: record a loss, with its cause."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.ledger import OF, on_count

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import lose

    return on_count(call, lambda ledger, held, n: lose(ledger, held, n, call.cause or ""))


COMMAND = Command(
    run,
    "[FARM] LOT COUNT",
    "record a loss, with its cause",
    (("-c --cause", {"metavar": "TEXT"}), *OF),
)
