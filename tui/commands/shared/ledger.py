"""What the commands on the stock share: which holding is meant, and an action on so many of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import Option
from tui.commands.shared.entries import record_one, split_words
from tui.typed_numbers import count_or_all

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.acts.find_in_stock import Ledger
    from engine.journal.entry import Entry
    from engine.records.stock import Holding
    from engine.schedule.nursery import Nursery


Do = Callable[["Ledger"], "Action"]
More = Callable[[], Iterable[str]]
DoCount = Callable[["Ledger", "Holding", int], "Action"]

OF: tuple[Option, ...] = (
    ("-f --form", {"metavar": "FORM", "help": "which form; not needed where the lot has only one"}),
    ("-g --grade", {"metavar": "GRADE", "help": "which grade"}),
    ("-p --place", {"metavar": "PLACE", "help": "which place"}),
)
TO: Option = ("-t --to", {"metavar": "WHOM", "help": "to whom, or where"})
NEED: Option = ("-n --need", {"metavar": "ID", "help": "the need that it meets"})
REASON: Option = ("-r --reason", {"metavar": "TEXT"})
UNNAMED: Option = (
    "--unnamed",
    {"action": "store_true", "help": "without its cultivar's name (where that is not certain)"},
)


def ledger_of(call: Namespace, nursery: Nursery, entries: Sequence[Entry]) -> Ledger:
    """The stock's ledger as it stands, for the day of the call."""
    from engine.acts.find_in_stock import open_ledger

    today = max(call.on, door.today())
    return open_ledger(nursery.farm, nursery.records, entries, call.on, today)


def on_ledger(call: Namespace, farm: Sequence[str], do: Do, more: More = tuple) -> int:
    """Record an action on the ledger."""
    return record_one(call, farm, lambda nursery, entries: do(ledger_of(call, nursery, entries)), more)


def on_lot(call: Namespace, act: Callable[[Ledger, str, str], Action]) -> int:
    """Record an act on a whole lot, with its reason where one is given."""
    farm, (lot,) = split_words(call)
    return on_ledger(call, farm, lambda ledger: act(ledger, lot, call.reason or ""))


def on_count(call: Namespace, do: DoCount, counting: bool = False, more: More = tuple) -> int:
    """Record an action on so many (or `all`) of the one holding of a lot that is meant: [FARM] LOT COUNT."""
    from engine.acts.find_in_stock import find_counted, find_holding

    farm, (lot, count, *_) = split_words(call)
    wanted = count_or_all(count)

    def of(ledger: Ledger) -> Action:
        held = (find_counted if counting else find_holding)(ledger, lot, call.form, call.grade, call.place)
        return do(ledger, held, held.count if wanted is None else wanted)

    return on_ledger(call, farm, of, more)


def goes_out(call: Namespace, kind: str) -> int:
    """Record that so many have left: sold, given, or planted out."""
    from engine.acts.stock import sell

    unnamed = getattr(call, "unnamed", False)
    return on_count(call, lambda ledger, held, n: sell(ledger, held, n, call.to or "", call.need or "", unnamed, kind))
