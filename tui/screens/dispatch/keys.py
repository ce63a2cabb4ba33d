"""The keys of the orders to the door."""

from __future__ import annotations

from textual.binding import Binding, BindingType

KEYS: list[BindingType] = [
    Binding("p", "pack", "packed: all of it that is ready; again: not packed", id="pack"),
    Binding("s", "send", "sent: what is ready leaves the stock", id="send"),
    Binding("f", "fetch", "fetched by the customer, on any day", id="fetch"),
    Binding("b", "substitute", "another kind instead of what is short, with the customer's word", id="substitute"),
    Binding("r", "replan", "raise what is short: the ways on the needs screen", id="replan"),
    Binding("g", "group", "by customer, or by place in walking order", id="group_parcels"),
    Binding("enter", "details", "open: the packing list", id="details", show=False),
]
HINT = "p packed  s sent  f fetched  g by place"
HINT_SHORT = "p packed  s sent  b another kind  r raise it  g by place"
HINT_PLACE = "g by customer  p packed  s sent"
