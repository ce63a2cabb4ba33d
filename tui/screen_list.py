"""The one list of the screens: the key that goes to each, its name, what it is, and where it stands."""

from __future__ import annotations

PLACES = (
    ("1", "week", "the week", "tui.screens.week.screen", "WeekScreen"),
    ("2", "stock", "the stock", "tui.screens.stock.screen", "StockScreen"),
    ("3", "cold", "the cold store", "tui.screens.cold.screen", "ColdScreen"),
    ("4", "batches", "the batches", "tui.screens.batches.screen", "BatchesScreen"),
    ("5", "needs", "the needs", "tui.screens.needs.screen", "NeedsScreen"),
    ("6", "year", "the year", "tui.screens.year.screen", "YearScreen"),
    ("7", "site", "the site", "tui.screens.site.screen", "SiteScreen"),
    ("8", "planting", "the plantings", "tui.screens.planting.screen", "PlantingScreen"),
    ("9", "dispatch", "the orders to the door", "tui.screens.dispatch.screen", "DispatchScreen"),
)
