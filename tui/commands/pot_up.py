"""`widger pot-up`: record potting up, or another change of form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.ledger import OF, on_count

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import pot_up

    return on_count(call, lambda ledger, held, n: pot_up(ledger, held, n, call.into, call.to or ""))


COMMAND = Command(
    run,
    "[FARM] LOT COUNT",
    "record potting up, or another change of form",
    (
        ("-i --into", {"metavar": "FORM", "default": "pot", "help": "the new form (default: pot)"}),
        ("-t --to", {"metavar": "PLACE", "help": "where they stand afterwards (default: where they were)"}),
        *OF,
    ),
)
