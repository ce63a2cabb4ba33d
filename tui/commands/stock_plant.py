"""`widger stock-plant`: add stock plants: so many of a plant, kept to cut from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words
from tui.commands.shared.species import CULTIVAR
from tui.typed_numbers import whole_of, yields_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock_plants import new_stock_plant
    from engine.farm.stock import StockPlant
    from engine.protocols.forms import MATERIALS

    farm, (name, species, count) = split_words(call)
    planted = None if call.planted is None else whole_of(call.planted, "--planted")
    wanted = StockPlant(
        name, species, call.cultivar or "", call.place or "", whole_of(count, "COUNT"), planted,
        yields_of(call.yields or ""), call.material or MATERIALS[0],
    )  # fmt: skip
    return record_one(call, farm, lambda nursery, entries: new_stock_plant(nursery, entries, wanted, call.on))


COMMAND = Command(
    run,
    "[FARM] ID SPECIES COUNT",
    "add stock plants: so many of a plant, kept to cut from",
    (
        CULTIVAR,
        ("--place", {"metavar": "PLACE", "help": "where they stand (default: stock beds)"}),
        ("--planted", {"metavar": "Y", "help": "the year in which they were planted"}),
        ("--yields", {"metavar": "N|AGE=N,…", "help": "what one gives a year: 25, or by its age 1=4,3=18,5=25"}),
        ("--material", {"metavar": "M", "help": "cuttings (the default), scions, buds, layers, divisions, seed"}),
    ),
)
