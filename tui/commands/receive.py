"""`widger receive`: what came in, one lot or a whole table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import FILE, Command, Unusable
from tui.commands.shared.entries import split_words
from tui.commands.shared.ledger import ledger_of, on_ledger
from tui.commands.shared.tables import take_table
from tui.typed_numbers import count_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import Incoming, receive

    if call.csv:
        from engine.acts.stock_table import take_in

        return take_table(call, lambda nursery, known, *table: take_in(ledger_of(call, nursery, known), *table))
    farm, (lot, count) = split_words(call)
    number = count_of(count)
    lacking = [f"--{name}" for name in ("species", "form", "place") if not getattr(call, name)]
    if lacking:
        raise Unusable(f"give {', '.join(lacking)}, or a table with --csv FILE")
    came = Incoming(
        lot, call.species, call.cultivar or "", call.form, call.place, number, call.grade or "", call.origin,
        call.source or "", call.unit or "",
    )  # fmt: skip
    return on_ledger(call, farm, lambda ledger: receive(ledger, came))


COMMAND = Command(
    run,
    "[FARM] LOT COUNT",
    "record what came in: one lot, or a whole table",
    (
        ("-s --species", {"metavar": "NAME"}),
        ("-k --cultivar", {"metavar": "NAME"}),
        ("-f --form", {"metavar": "FORM", "help": "such as liner, bare root, 1 L pot"}),
        ("-g --grade", {"metavar": "GRADE"}),
        ("-p --place", {"metavar": "PLACE"}),
        ("-o --origin", {"metavar": "WORD", "default": "bought", "help": "bought, collected, found or swapped"}),
        ("--from", {"dest": "source", "metavar": "WHOM", "help": "from whom, or where"}),
        ("-u --unit", {"metavar": "UNIT", "help": "g, seeds, sticks or buds; left out: pieces"}),
        ("--csv", {**FILE, "help": "take in a table such as stock --csv prints: all of it, or none"}),
    ),
)
