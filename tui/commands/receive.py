"""`widger receive`: what came in, one lot or a whole table."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import UNUSABLE, Command, Unusable, print_json, say_done
from tui.commands.shared.entries import split_words
from tui.commands.shared.farms import enter, farm_path, farm_word
from tui.commands.shared.ledger import ledger_of, on_ledger
from tui.fields import count_of
from tui.out import say, warn

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import receive

    if call.csv:
        return _receive_table(call)
    farm, (lot, count) = split_words(call)
    number = count_of(count)
    lacking = [f"--{name}" for name in ("species", "form", "place") if not getattr(call, name)]
    if lacking:
        raise Unusable(f"give {', '.join(lacking)}, or a table with --csv FILE")
    return on_ledger(
        call,
        farm,
        lambda ledger: receive(
            ledger, lot, call.species, call.cultivar or "", call.form, call.place, number, call.grade or "",
            call.origin, call.source or "", call.unit or "",
        ),
    )  # fmt: skip


def _receive_table(call: Namespace) -> int:
    """Take in a whole table: all its rows, in one append, or none."""
    from engine.acts.intake import Faulty, take_in
    from engine.journal.store import JournalError
    from engine.records.words import said
    from tui.farmhouse import record_all
    from tui.paper.entry import entry_json
    from tui.paper.stock_table import read_table

    house = enter(farm_path(farm_word(call)))
    try:
        header, rows = read_table(Path(call.csv))
    except OSError as fault:
        raise Unusable(f"{call.csv} cannot be read: {fault.strerror}") from None
    except (ValueError, csv.Error) as fault:
        raise Unusable(f"{call.csv} is no table that can be read: {fault}") from None
    try:
        entries = record_all(
            house.path,
            house.farm,
            lambda nursery, known: take_in(ledger_of(call, nursery, known), header, rows),
            tell=warn,
        )
    except Faulty as found:
        for each in found.faults:
            warn(f"{call.csv}: {each}")
        warn("widger: nothing was recorded")
        return UNUSABLE
    except JournalError as fault:
        raise Unusable(str(fault)) from None
    if call.json:
        return say_done(lambda: print_json([entry_json(entry) for entry in entries]))
    return say_done(lambda: say(*map(said, entries)))


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
        ("--csv", {"metavar": "FILE", "help": "take in a table such as stock --csv prints: all of it, or none"}),
    ),
)
