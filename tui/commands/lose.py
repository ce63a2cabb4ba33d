"""`widger lose`: record a loss, with its cause."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.ledger import OF, on_count

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.acts.find_in_stock import Ledger
    from engine.records.stock import Holding


def run(call: Namespace) -> int:
    from engine.acts.going import said_of_cause
    from engine.acts.stock import lose

    rest: list[str] = []

    def do(ledger: Ledger, held: Holding, count: int) -> Action:
        rest.append(said_of_cause(call.cause or "", count == held.count))
        return lose(ledger, held, count, call.cause or "")

    return on_count(call, do, more=lambda: filter(None, rest[-1:]))


COMMAND = Command(
    run,
    "[FARM] LOT COUNT",
    "record a loss, with its cause",
    (("-c --cause", {"metavar": "TEXT", "help": "such as mice, frost, none rooted, mould"}), *OF),
)
