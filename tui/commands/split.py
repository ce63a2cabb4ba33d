"""`widger split`: split so many off as a lot of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.ledger import OF, on_count

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import split

    return on_count(call, lambda ledger, held, n: split(ledger, held, n, call.into or ""))


COMMAND = Command(
    run,
    "[FARM] LOT COUNT",
    "split so many off as a lot of their own",
    (("-i --into", {"metavar": "LOT", "help": "its name (default: the next free one, such as E26/1)"}), *OF),
)
