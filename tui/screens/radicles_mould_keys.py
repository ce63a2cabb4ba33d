"""The keys that record what a look found: nothing, radicles, mould, dry. The week and the cold store have the same."""

from __future__ import annotations

from textual.binding import Binding


def look_keys(dry: str) -> list[Binding]:
    """The four; `dry` is what is said of the last."""
    return [
        Binding("n", "look('nothing')", "look: nothing found", id="look_nothing"),
        Binding("r", "look('radicles')", "look: radicles out", id="look_radicles"),
        Binding("m", "look('mould')", "look: mould", id="look_mould"),
        Binding("y", "look('dry')", dry, id="look_dry"),
    ]
