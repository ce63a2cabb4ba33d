"""The keys of what is coming tonight."""

from __future__ import annotations

from textual.binding import Binding, BindingType

KEYS: list[BindingType] = [
    Binding("d", "done", "the place is dealt with; again: it is not", id="place_done"),
    Binding("f", "ask", "another low, a heat day, a wind or a power cut", id="ask"),
    Binding("w", "coming('wind')", "a gale instead", id="wind"),
    Binding("p", "coming('power cut')", "a power cut instead", id="power_cut"),
]
HINT = "d place seen to  f another low or high  w wind  p power cut  Esc week"
