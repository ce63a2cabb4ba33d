"""`widger move`: record a move to another place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import split_words
from tui.commands.shared.ledger import OF, on_count

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import move

    to = split_words(call)[1][-1]
    return on_count(call, lambda ledger, held, n: move(ledger, held, n, to))


COMMAND = Command(
    run,
    "[FARM] LOT COUNT PLACE",
    "record a move to another place",
    OF,
)
