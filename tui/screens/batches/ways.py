"""The ways of raising a plant, side by side: a line each, with a cursor on the one that is meant."""

from __future__ import annotations

from engine.needs.coming import SURE
from engine.reading.frozen import dataclass
from engine.reading.said import percent
from engine.views.ways import Preview
from tui.cells import date_cell, fit, hours_cell
from tui.lines import Lines

STEP, DATE, SHARE, COUNT, HOURS = 10, 9, 5, 5, 7
ROOMY = 84
"""In fewer columns the share has no column of its own: it is told below, with what stands behind it."""
AMISS = "!"
"""Before what has some trouble: it is told below."""


@dataclass(frozen=True, slots=True)
class WayRow:
    """One way."""

    way: Preview

    @property
    def key(self) -> str:
        return self.way.title

    @property
    def pickable(self) -> bool:
        return True


class WayList(Lines[WayRow], can_focus=False):
    """The ways with a cursor on one of them; the form moves it, so that the fields keep what is typed."""

    def head(self, width: int) -> str:
        """The names of the columns, over them."""
        share = f"{'share':>{SHARE}} " if width >= ROOMY else ""
        figures = f"{'ready':>{DATE}} {share}{'out':>{COUNT}} {percent(SURE):>{COUNT}} {'hours':>{HOURS}} "
        cells = f"{fit('first step', STEP + 1 + DATE)} {figures}"
        return f"{fit('  way', max(12, width - len(cells) - 1))} {cells}"

    def paint(self, row: WayRow, width: int) -> tuple[str, str]:
        way = row.way
        sign = AMISS if way.troubles else " "
        hours = hours_cell(way.hours) if way.hours is not None else "-"
        first = f"{fit(way.step, STEP)} {date_cell(way.first):>{DATE}}" if way.first else "no year fits"
        share = f"{percent(way.share):>{SHARE}} " if width >= ROOMY else ""
        counts = f"{way.likely:>{COUNT}} {way.sure:>{COUNT}}"
        figures = f"{date_cell(way.ready):>{DATE}} {share}{counts} {hours:>{HOURS}} "
        cells = f"{fit(first, STEP + 1 + DATE)} {figures}"
        look = "missed" if way.first is None else "closing" if way.troubles else "open"
        title = way.title.replace(" cutting", "", 1)
        return fit(f"{sign} {fit(title, max(10, width - len(cells) - 3))} {cells}", width), look
