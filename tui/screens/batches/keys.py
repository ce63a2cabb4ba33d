"""The keys of the batches."""

from __future__ import annotations

from textual.binding import Binding, BindingType

KEYS: list[BindingType] = [
    Binding("b", "new", "begin a new batch", id="new_batch"),
    Binding("e", "edit", "change what has not started; otherwise what was recorded", id="edit_batch"),
    Binding("x", "give_up", "drop the whole lot", id="give_up"),
    Binding("k", "count", "count them: how many are alive today", id="count"),
    Binding("t", "note", "write a note on the lot", id="note"),
    Binding("enter", "details", "open: the lot's whole life", id="details", show=False),
]
