"""The keys of the needs."""

from __future__ import annotations

from textual.binding import Binding, BindingType

KEYS: list[BindingType] = [
    Binding("p", "plan", "plan what is short: the ways side by side", id="plan_need"),
    Binding("b", "new", "begin a new need", id="new_need"),
    Binding("e", "edit", "change the need", id="edit_need"),
    Binding("x", "withdraw", "withdraw it, with a reason", id="withdraw_need"),
    Binding("f", "what_if", "what falls short if a lot fails", id="what_if"),
    Binding("o", "orders", "what to order, for all batches", id="orders"),
    Binding("g", "group", "by season, or by customer", id="group_needs"),
    Binding("y", "season", "the year's plan: all needs at once, accepted line by line", id="season"),
    Binding("enter", "details", "open: what covers it, every way", id="details", show=False),
]
