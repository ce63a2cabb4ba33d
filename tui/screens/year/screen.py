"""The year: fifty-two weeks across, with the light, the frost and the hours over them, and every lot below."""

from __future__ import annotations

from datetime import date, timedelta
from typing import ClassVar, cast

from rich.style import Style
from rich.text import Text
from textual import on
from textual.binding import BindingType
from textual.widgets import Static

from engine.reading.limits import FIRST_SHOWN, LAST_SHOWN
from engine.schedule.plan import Day
from engine.views.year import Year, year_view
from tui.cells import counted, day, ends, fit
from tui.inks import ink
from tui.screen import WAITS, Ends, FarmScreen
from tui.screens.batches.facts import show_life
from tui.screens.year.facts import facts_of
from tui.screens.year.keys import KEYS
from tui.screens.year.rows import YearList, year_rows
from tui.strips.year_weeks import LEGEND, LIMIT, ScaleRow, scale_rows

LEAST_LABEL = 10
"""Cells from which on a row of the scale has a label."""
STEP = 4
"""Weeks by which the year is moved."""
PAGE, FRAME = 80, 5
"""Columns of a page, and of its frame and bar."""


class YearScreen(FarmScreen):
    """Every lot over fifty-two weeks, and the hours that they ask for."""

    # The scale stands in the head.
    CSS = "YearScreen #head { height: auto; } YearScreen.-narrow #panel { height: 6; }"
    TITLE_OF_KEYS = "Keys: year"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.first: date | None = None  # a day of the first week; None: some weeks before today
        self.year: Year | None = None

    def make_list(self) -> YearList:
        return YearList()

    @property
    def board(self) -> YearList:
        return cast(YearList, self.list)

    def derive(self) -> None:
        first = self.first
        self.work(("year", first), lambda day: year_view(day, first), self._show)

    def _show(self, year: Year) -> None:
        self.year = year
        self.draw()

    def draw(self) -> None:
        if self.year is None:
            return
        self.board.show(self.year, year_rows(self.year, self.words), (self.year.weeks[0].start, self.words))
        self.show_head()
        self.call_after_refresh(self.show_head)  # when it is known how wide the list is

    def head(self) -> tuple[Ends, Ends]:
        if self.year is None:
            return ("Year", WAITS), ("", "")
        weeks = self.year.weeks
        over = sum(week.over and week.end >= self.year.today for week in weeks)
        lots = len(self.board.rows)
        told = f", {counted(over, 'week')} too full" if over else ""
        dates = f"{day(weeks[0].start, True)} - {day(weeks[-1].end, True)}"
        return (f"Year   {dates}", f"{counted(lots, 'lot')}{told}"), ("", "")

    def show_head(self) -> None:
        """The title in one line, and the scale under it, each row over the weeks of the lots."""
        text = Text(ends(*self.head()[0], max(40, self.size.width - 2)), style="bold")
        before = self.board.before(self.board.scrollable_content_region.width or self.size.width - 1) - 1
        for row in scale_rows(self.year) if self.year is not None else ():
            text.append(f"\n{_label(row, before)}", style="not bold")
            if row.shows == "over":  # the limit is a line; only what stands above it presses
                for sign in row.cells:
                    text.append(sign, style=self._ink("hours" if sign == LIMIT else "over"))
            else:
                text.append(row.cells, style=self._ink(row.shows))
        self.query_one("#head", Static).update(text)

    def _ink(self, shows: str) -> Style:
        look = {"light": "place", "frost": "open", "over": "closing", "hours": "quiet"}.get(shows, "plain")
        return ink(self.app, look) + Style(bold=False)

    def facts(self) -> Text:
        row = self.board.row
        return facts_of(row.line if row else None, self.year) if self.year is not None else Text()

    def lot_here(self) -> str:
        row = self.board.row
        return row.line.line.lot.id if row is not None else ""

    def hint(self) -> str:
        return "← → four weeks  w about today  l level  r room  Enter open"

    def states(self) -> tuple[tuple[str, str], ...]:
        from tui.forms.help import STATES

        return STATES

    def signs(self) -> str:
        return (
            f"{LEGEND}\n· before a lot: its next step is open  ! it closes or is overdue  = it is held  x it was missed"
        )

    def action_weeks(self, by: int) -> None:
        if self.year is None:
            return
        there = self.year.weeks[0].start + timedelta(7 * STEP * by)
        if FIRST_SHOWN <= there.year <= LAST_SHOWN:
            self.first = there
            self.derive()

    def action_now(self) -> None:
        self.first = None
        self.derive()

    @on(YearList.Chosen)
    def _chosen(self) -> None:
        self.action_details()

    def action_details(self) -> None:
        row = self.board.row
        if row is not None:
            show_life(self, row.line.line)

    def action_room(self) -> None:
        """What every place is asked to hold in the weeks to come, and which are too many."""
        from engine.views.room import room_view
        from tui.forms.page import PageScreen
        from tui.paper.room import room_lines

        page, width = PageScreen(_room(WAITS)), min(self.size.width, PAGE) - FRAME

        def make(day: Day) -> Text:
            return _room("\n".join(room_lines(room_view(day.nursery.farm, day.plans, day.today), width)))

        self.app.push_screen(page)
        self.work(("room", width), make, page.show)

    def action_level(self) -> None:
        """Work out beside the screen what to put off, and ask."""
        from tui.screens.year.levelling import start_level

        if self.year is not None:
            start_level(self, self.year)


def _room(told: str) -> Text:
    return Text("Room by place\n", style="bold", no_wrap=True).append(f"\n{told}", style="not bold")


def _label(row: ScaleRow, room: int) -> str:
    """What stands before a row of the scale; where there is little room, without a gap after it."""
    return fit(row.named(room - 1), room - 1) + " " if room > LEAST_LABEL else f"{row.named(room):<{room}}"
