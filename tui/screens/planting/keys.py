"""The keys of the plantings: one for each thing that a walk finds."""

from __future__ import annotations

from textual.binding import Binding, BindingType

DEATHS = {
    "r": "browsed", "i": "girdled", "m": "mown", "d": "drought", "f": "frost", "e": "disease", "s": "shaded",
    "x": "unknown",
}  # fmt: skip
"""The key of each cause of a death."""

KEYS: list[BindingType] = [
    Binding("w", "walk", "walk: on to the first that this walk has not seen", id="walk"),
    Binding("a", "found('alive')", "alive", id="alive"),
    Binding("b", "found('bearing')", "bearing", id="bearing"),
    *(
        Binding(key, f"died('{cause}')", f"dead: {cause if cause != 'unknown' else 'cause not known'}", id=cause)
        for key, cause in DEATHS.items()
    ),
    Binding("o", "found('guard off')", "its guard is off", id="guard_off"),
    Binding("g", "found('guard on')", "its guard is on", id="guard_on"),
    Binding("t", "note", "write a note on it", id="note"),
    Binding("p", "take_over", "its understudy takes the place of a dead first choice", id="take_over"),
    Binding("n", "ask_anew", "a new one is wanted where one died", id="ask_anew"),
    Binding("h", "died('thinned')", "thinned: taken out to give its neighbour room", id="thinned"),
    Binding("k", "works", "what works here: what lived and bore, and what it had in common", id="works"),
    Binding("left", "year(-1)", "crowns a year earlier", id="year_earlier"),
    Binding("right", "year(1)", "crowns a year later", id="year_later"),
    Binding("c", "this_year", "crowns as they are this year", id="this_year"),
    Binding("enter", "details", "open: its life, its light, its odds", id="details", show=False),
]
HINT = "w walk  a alive  b bearing  x dead  o guard off  ← → year"
HINT_DEAD = "p understudy in its place  n ask for a new one  a it lives"
