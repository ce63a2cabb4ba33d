"""The kinds of entries by what takes them up; those of the stock are in stock_book.py, which takes each."""

from __future__ import annotations

NEED_KINDS = frozenset(("need", "amend", "withdraw"))
STOCK_PLANT_KINDS = frozenset(("stock_plant", "grub_out"))
PLANTING_KINDS = frozenset(("walked", "took_over"))
"""What is seen of a planting that stands."""
FARM_KINDS = NEED_KINDS | STOCK_PLANT_KINDS
"""What the farm has besides its batches."""
SETTING_KINDS = frozenset(("place", "price", "hours"))
"""What the farm file would say: a place, a price, the hours of a week."""
MAKING = frozenset(("batch", "need", "stock_plant")) | SETTING_KINDS
"""What the farm has from the first, whenever it was told."""
AHEAD = FARM_KINDS | SETTING_KINDS | {"undo", "correct", "batch"}
"""The kinds that the lots do not take up: what they tell is settled before or after."""
