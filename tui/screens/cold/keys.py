"""The keys of the cold store."""

from __future__ import annotations

from textual.binding import Binding, BindingType

from tui.screens.radicles_mould_keys import look_keys

KEYS: list[BindingType] = [
    *look_keys("look: dry at the surface"),
    Binding("b", "look('dry through')", "look: bone dry, right through", id="look_dry_through"),
    Binding("d", "done", "done: what follows, sowing or the next phase", id="done"),
    Binding("p", "pot_run", "pot what has sprouted: radicles before the bed is open", id="pot_run"),
    Binding("k", "count", "count them: how many are alive today", id="count"),
    Binding("o", "outage", "outage: a store was too warm, or froze", id="outage"),
    Binding("t", "note", "write a note on the lot", id="note"),
    Binding("enter", "details", "open: the whole batch", id="details", show=False),
]
