"""`widger join`: join a lot to another of the same plant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import split_words
from tui.commands.shared.ledger import on_ledger

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import join

    farm, (lot, into) = split_words(call)
    return on_ledger(call, farm, lambda ledger: join(ledger, lot, into))


COMMAND = Command(
    run,
    "[FARM] LOT INTO",
    "join a lot to another of the same plant",
)
