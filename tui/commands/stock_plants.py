"""The commands that add stock plants and grub them out: each writes one entry, or is refused."""

from __future__ import annotations

import argparse

from tui.commands.record import record_one, split_words
from tui.commands.shared import Unusable, whole_of


def new(call: argparse.Namespace) -> int:
    """Add stock plants."""
    from engine.acts.stock_plants import new_stock_plant
    from engine.farm.stock import StockPlant
    from engine.protocols.forms import MATERIALS

    farm, (name, species, count) = split_words(call.words, ("ID", "SPECIES", "COUNT"))
    planted = None if call.planted is None else whole_of(call.planted, "--planted")
    wanted = StockPlant(
        name, species, call.cultivar or "", call.place or "", whole_of(count, "COUNT"), planted,
        yields_of(call.yields or ""), call.material or MATERIALS[0],
    )  # fmt: skip
    return record_one(call, farm, lambda nursery, entries: new_stock_plant(nursery, entries, wanted, call.on))


def grub_out(call: argparse.Namespace) -> int:
    """End stock plants."""
    from engine.acts.stock_plants import grub_out

    farm, (name,) = split_words(call.words, ("ID",))
    return record_one(call, farm, lambda nursery, _: grub_out(nursery, name, call.reason or "", call.on))


def yields_of(text: str) -> tuple[tuple[int, float], ...]:
    """What one stock plant gives a year, by its age: `25`, or `1=4,3=18,5=25`. Raises Unusable."""
    found = []
    for part in text.split(",") if text.strip() else []:
        age, _, number = part.partition("=") if "=" in part else ("0", "=", part)
        try:
            found.append((whole_of(age.strip(), "--yields"), float(number)))
        except ValueError:
            raise Unusable(f'--yields: "{part}" is not understood; write 25, or by age 1=4,3=18') from None
    return tuple(found)
