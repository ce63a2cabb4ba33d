"""`widger need`: add a need: so many of a plant, by a day, for someone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import FILE, Command
from tui.commands.shared.entries import record_one, split_words
from tui.commands.shared.species import BY, CULTIVAR, FORM, GRADE, SURE, WHO
from tui.commands.shared.tables import take_table
from tui.typed_days import exact_day
from tui.typed_numbers import sureness_of, whole_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    if call.csv:
        return _take_table(call)
    from engine.acts.needs import new_need
    from engine.farm.stock import Need

    farm, (name, species, count) = split_words(call)
    by = exact_day(call.by) if call.by else None
    wanted = Need(
        name, species, call.cultivar or "", call.form or "", whole_of(count, "COUNT"), by, sureness_of(call.sure),
        call.who or "", call.grade or "",
    )  # fmt: skip
    return record_one(call, farm, lambda nursery, entries: new_need(nursery, entries, wanted, call.on))


def _take_table(call: Namespace) -> int:
    """Take in a whole table of orders: all its rows, in one append, or none."""
    from engine.acts.order_table import take_orders

    return take_table(
        call, lambda nursery, entries, header, rows: take_orders(nursery, entries, header, rows, call.on)
    )  # fmt: skip


COMMAND = Command(
    run,
    "[FARM] ID SPECIES COUNT",
    "add a need: so many of a plant, by a day, for someone; or a whole table of orders",
    (
        BY,
        SURE,
        WHO,
        FORM,
        GRADE,
        CULTIVAR,
        ("--csv", {**FILE, "help": "take in a table such as needs --csv prints: all of it, or none"}),
    ),
)
