"""The site: the marks of a year with the date and reason of each, what rests on them, and what was seen."""

from __future__ import annotations

from typing import ClassVar, cast

from rich.text import Text
from textual import on
from textual.binding import BindingType

from engine.almanac.almanac import say_minutes
from engine.reading.limits import FIRST_YEAR, LAST_YEAR
from engine.reading.said import percent
from engine.reading.units import US, feet, say_length
from engine.views.site import SiteMark, site_marks
from engine.views.week import FrostAhead, frost_ahead
from tui.cells import dated
from tui.facts import Facts
from tui.screen import Ends, FarmScreen
from tui.screens.site.facts import facts_of
from tui.screens.site.keys import KEYS
from tui.screens.site.rows import MarkList, MarkRow, mark_rows

STATES = (
    ("seen", "you recorded the day; it replaces the computed one"),
    ("past", "its day has passed"),
    ("never", "it does not come here that year"),
)
LEAST_TOLD = 0.005
"""A chance of frost that is less is not told."""


class SiteScreen(FarmScreen):
    """The marks of one calendar year."""

    CSS = "SiteScreen.-narrow.-high #panel { height: 11; }"
    TITLE_OF_KEYS = "Keys: site"
    LEAST_FACTS = 54  # the light through the year is a curve
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.year: int | None = None  # None: this year
        self.marks: tuple[SiteMark, ...] = ()

    def make_list(self) -> MarkList:
        return MarkList()

    @property
    def board(self) -> MarkList:
        return cast(MarkList, self.list)

    @property
    def shown(self) -> int:
        """The year shown."""
        return self.app.today.year if self.year is None else self.year

    def derive(self) -> None:
        year = self.shown
        self.work(("site", year), lambda day: site_marks(day.nursery, day.plans, year), self._show)

    def _show(self, marks: tuple[SiteMark, ...]) -> None:
        first, self.marks = not self.marks, marks
        self.draw()
        if first:  # begin at the next mark to come
            following = next((m for m in marks if m.mark.day is not None and m.mark.day >= self.app.today), None)
            if following is not None:
                self.board.go_to(MarkRow(following).key)

    def draw(self) -> None:
        self.board.show(mark_rows(self.marks, self.words), self.app.today)
        self.show_head()

    def head(self) -> tuple[Ends, Ends]:
        app, site = self.app, self.app.house.farm.site
        north, east = ("N" if site.latitude >= 0 else "S"), ("E" if site.longitude >= 0 else "W")
        us = app.house.farm.units == US
        high = f"{feet(site.elevation_m):,.0f} ft" if us else say_length(site.elevation_m, "metric")
        where = f"{abs(site.latitude):.2f}° {north}, {abs(site.longitude):.2f}° {east}, {high}"
        light = f"day {say_minutes(app.house.nursery.almanac.day_minutes(app.today))}"
        seen = sum(mark.seen for mark in self.marks)
        frost = frost_ahead(app.house.nursery, app.today)
        chance = "" if frost is None or not (told := say_frost(frost)) else f"; {told}"
        told = f"{self.shown}: {seen or 'none'} seen"
        return (f"Site   {where}", f"{app.today:%a} {dated(app.today)}"), (told, f"{light}{chance}")

    def facts(self) -> Text:
        width = (self.query_one(Facts).scrollable_content_region.width or self.size.width - 2) - 1  # its bar
        return facts_of(self._mark, self.app.house.nursery.almanac, self.shown, self.app.today, width)

    def signs(self) -> str:
        return "▼ today  █ the longer the day, the higher"

    def states(self) -> tuple[tuple[str, str], ...]:
        return STATES

    def hint(self) -> str:
        seen = "s seen  " if self._mark is not None and self._mark.can_be_seen else ""
        return f"{seen}c change  ← → another year  w this year"

    def on_resize(self) -> None:
        super().on_resize()
        if self._painted:  # the curve is as wide as its panel
            self.call_after_refresh(self._show_facts)

    @property
    def _mark(self) -> SiteMark | None:
        row = self.board.row
        return row.mark if row else None

    def action_year(self, by: int) -> None:
        if FIRST_YEAR < self.shown + by < LAST_YEAR:
            self.year = self.shown + by
            self.derive()

    def action_now(self) -> None:
        self.year = None
        self.derive()

    def action_change(self) -> None:
        from tui.screens.site.changing import ask_what

        ask_what(self, self._mark.mark.name if self._mark is not None else "")

    @on(MarkList.Chosen)
    def _chosen(self) -> None:
        self.action_saw()

    def action_saw(self) -> None:
        from tui.forms.saw import ask_day

        if self._mark is None or not self._mark.can_be_seen:
            self.tell("this is computed from the sun or from another mark: it cannot be seen outdoors")
            return
        ask_day(self, self._mark.mark.name)


def say_frost(frost: FrostAhead) -> str:
    """`97 % chance of more frost`; nothing where it is as good as sure that there is none."""
    what = "of more frost" if frost.mark == "last frost" else "that frost has come"
    return f"{percent(frost.chance)} chance {what}" if frost.chance and frost.chance >= LEAST_TOLD else ""
