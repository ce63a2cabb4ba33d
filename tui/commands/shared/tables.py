"""To take in a whole table: all its rows, in one append, or none, with all that is wrong with it told."""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import UNUSABLE, Unusable, print_json, say_done
from tui.commands.shared.entries import write_several
from tui.commands.shared.farms import enter, farm_path, farm_word
from tui.out import say, warn

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery

TakeIn = Callable[["Nursery", "Sequence[Entry]", Sequence[str], Sequence[Sequence[str]]], Sequence["Action"]]


def take_table(call: Namespace, take: TakeIn) -> int:
    """Take in the table that the call names by --csv."""
    from engine.acts.stock_table import Faulty
    from engine.records.words import said
    from tui.paper.entry import entry_json
    from tui.paper.stock_table import read_table

    house = enter(farm_path(farm_word(call)))
    try:
        header, rows = read_table(Path(call.csv))
    except OSError as fault:
        raise Unusable(f"{call.csv} cannot be read: {fault.strerror}") from None
    except UnicodeDecodeError:
        raise Unusable(f"{call.csv} is not UTF-8 text: save it as CSV UTF-8") from None
    except (ValueError, csv.Error) as fault:
        raise Unusable(f"{call.csv} cannot be read as a table: {fault}") from None
    try:
        entries = write_several(house, lambda nursery, known: take(nursery, known, header, rows))
    except Faulty as found:
        for each in found.faults:
            warn(f"{call.csv}: {each}")
        warn("widger: nothing was recorded")
        return UNUSABLE
    if call.json:
        return say_done(lambda: print_json([entry_json(entry) for entry in entries]))
    return say_done(lambda: say(*map(said, entries)))
