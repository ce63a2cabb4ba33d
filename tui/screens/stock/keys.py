"""The keys of the stock."""

from __future__ import annotations

from textual.binding import Binding, BindingType

KEYS: list[BindingType] = [
    Binding("r", "record('receive')", "receive: what came in", id="receive"),
    Binding("m", "record('move')", "move to another place", id="move"),
    Binding("p", "record('pot_up')", "pot up, or make another form", id="pot_up"),
    Binding("g", "record('grade')", "grade: so many of each", id="grade"),
    Binding("s", "record('sell')", "sell", id="sell"),
    Binding("o", "record('plant_out')", "plant out", id="plant_out"),
    Binding("x", "record('lose')", "lose some, with a cause", id="lose"),
    Binding("c", "record('count')", "count this one: how many are there, or alive", id="count"),
    Binding("w", "walk", "walk: a stock-take from place to place", id="walk"),
    Binding("d", "record('doubt')", "name not certain; again: certain", id="doubt"),
    Binding("y", "yields", "yields: what the stock plants gave by year", id="yields"),
    Binding("b", "by", "by species, by form, by place", id="by"),
    Binding("enter", "details", "open: where it came from and went", id="trace", show=False),
]

KEYS_OF = {
    "lot": "m move  p pot up  g grade  s sell  o plant out  x lose  c count",
    "going": "not counted yet: c count  m move  p pot up  x lose",
    "coming": "there is none of it yet; r receive  b by form, place",
    "": "r receive  w stock-take  b by species, form, place",
}
"""What the foot says of the keys, by what is under the cursor."""
