"""The keys of the site."""

from __future__ import annotations

from textual.binding import Binding, BindingType

KEYS: list[BindingType] = [
    Binding("s", "saw", "seen: the mark under the cursor", id="saw"),
    Binding("c", "change", "change hours, a place, a price; frost, marks … as lines for the file", id="change"),
    Binding("left", "year(-1)", "the year before", id="year_before"),
    Binding("right", "year(1)", "the year after", id="year_after"),
    Binding("w", "now", "back to this year", id="this_year"),
    Binding("enter", "saw", "seen", id="details", show=False),
]
