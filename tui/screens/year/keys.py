"""The keys of the year."""

from __future__ import annotations

from textual.binding import Binding, BindingType

KEYS: list[BindingType] = [
    Binding("left", "weeks(-1)", "four weeks back", id="weeks_back"),
    Binding("right", "weeks(1)", "four weeks on", id="weeks_on"),
    Binding("w", "now", "back to the weeks about today", id="about_now"),
    Binding("l", "level", "level: put off what makes a week too full, after asking", id="level"),
    Binding("r", "room", "room: what each place holds, week by week", id="room"),
    Binding("enter", "details", "open: the lot's whole life", id="details", show=False),
]
