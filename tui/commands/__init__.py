"""The commands, one file each: its words, its options, what it says of itself and what it does.

The file of a command bears its name, a hyphen written as an underscore.
"""

from __future__ import annotations

NAMES = (
    "open", "demo", "new", "check", "dates", "thermometer", "week", "year", "room", "level", "plan", "cold", "calendar",
    "tonight", "dispatch", "packed", "sent", "substitute", "season",
    "species", "starts", "labels", "done", "look", "outage", "saw", "hold", "release", "later", "accept", "instead",
    "drop", "note", "stock", "trace", "stock-plants", "rows", "came", "receive", "move", "pot-up", "grade", "sell",
    "give", "plant-out", "lose", "count", "split", "join", "doubt", "verify", "row", "needs", "need", "withdraw",
    "stock-plant", "grub-out", "promise", "ways", "orders", "review", "inspection", "planting", "walked", "take-over",
    "batch", "change", "place", "price", "hours",
    "entries", "correct", "undo", "redo", "devices", "copy",
)  # fmt: skip
"""In the order in which `widger --help` lists them."""
