"""The kinds of entries by what takes them up, and the largest counts that an entry may give."""

from __future__ import annotations

LEAVING = {"sell": "sold", "give": "given", "plant_out": "planted out", "lose": "lost"}
KINDS = frozenset((*LEAVING, "receive", "move", "pot_up", "grade", "split", "count", "join", "doubt", "verify"))
NEED_KINDS = frozenset(("need", "amend", "withdraw"))
STOCK_PLANT_KINDS = frozenset(("stock_plant", "grub_out"))
FARM_KINDS = NEED_KINDS | STOCK_PLANT_KINDS
"""What the farm has besides its batches."""
AHEAD = FARM_KINDS | {"undo", "batch"}
"""The kinds that the lots do not take up: what they tell is settled before or after."""
MOST = 10_000_000
"""Of one batch, as in a farm file."""
MOST_HELD = 100_000_000
"""Of one lot in stock, as in a farm file: seed may be counted in grams."""
LARGEST = 1e15
"""No figure that a grower gives comes near it, and up to it every whole number is exact."""
