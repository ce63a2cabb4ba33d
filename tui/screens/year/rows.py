"""The year as lines of text: the scale over it, and one line a lot; the printed sheet is made of the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from engine.almanac.almanac import say_minutes
from engine.protocols.names import matches, plain
from engine.views.year import WEEKS, Year, YearLine
from tui.bars import MONTHS, NOW, bars
from tui.lines import Lines
from tui.paper.sheets import day
from tui.screens.batches.rows import look_of
from tui.screens.week.rows import fit

DONE, AIM, MAY, GOES_ON = "■", "◆", "━", "·"
LEGEND = (
    f"{DONE} an act done   {AIM} the aim of one to come   {MAY} it may be done   {GOES_ON} the lot goes on\n"
    f"{NOW} this week.  Frost: ░ in 1 year of 10, ▒ in 1 of 4, ▓ in 1 of 2, █ in 9 of 10.\n"
    "Hours: the lower row is full at what there is; what stands above it is too much."
)
FROST = ((0.9, "█"), (0.5, "▓"), (0.25, "▒"), (0.1, "░"))
"""Signs for the chance of frost, from so much on."""


@dataclass(frozen=True, slots=True)
class YearRow:
    """One line of the list."""

    line: YearLine

    @property
    def key(self) -> str:
        return f"lot {self.line.line.lot.id}"

    @property
    def pickable(self) -> bool:
        return True


def year_rows(year: Year, words: str) -> list[YearRow]:
    """The lots that are meant by these words."""
    return [YearRow(line) for line in year.lines if _wanted(line, words)]


def _wanted(line: YearLine, words: str) -> bool:
    of = line.line
    names = (of.plant, of.lot.batch.species, of.title, *(act.step for act in line.acts))
    return plain(words) in plain(of.lot.id) or matches(words, names)


class YearList(Lines[YearRow]):
    """The lots, each with its fifty-two weeks."""

    def __init__(self) -> None:
        super().__init__("year")
        self.year: Year | None = None

    def show(self, year: Year, rows: Sequence[YearRow]) -> None:
        self.year = year
        self.put(list(rows))

    def paint(self, row: YearRow, width: int) -> tuple[str, str]:
        assert self.year is not None
        return lot_line(self.year, row.line, width), look_of(row.line.line)


# -- the scale


def scale(year: Year, width: int) -> list[str]:
    """Months, light, frost and hours over the weeks, each line exactly so wide."""
    weeks = year.weeks
    shortest, longest = (say_minutes(pick(w.minutes for w in weeks)) for pick in (min, max))
    light = [week.minutes for week in weeks]
    upper, lower = bars(light, min(light) - 30, max(light))
    told = [(_now(year), "months"), (upper, f"light {longest}"), (lower, f"down to {shortest}")]
    if any(week.frost is not None for week in weeks):
        told.append(("".join(_frost(week.frost) for week in weeks), "frost"))
    loads = [week.hours / (week.hours_there_are or 1) for week in weeks]
    limited = any(week.hours_there_are for week in weeks)
    above, below = bars(loads, 0, 2 if limited else max(max(loads), 0.1))
    busiest = year.busiest
    most = f"{busiest.hours:.1f} h, {day(busiest.start)}"
    told += [(above, "over the hours" if limited else ""), (below, f"hours: most {most}")]
    return [fit(f" {fit(label, width - WEEKS - 2)} {cells}", width) for cells, label in told]


def _now(year: Year) -> str:
    here = year.week_of(year.today)
    cells = []
    for n, week in enumerate(year.weeks):
        begins = n == 0 or week.end.day <= 7
        cells.append(NOW if n == here else MONTHS[week.end.month - 1] if begins else " ")
    return "".join(cells)


def _frost(chance: float | None) -> str:
    return next((sign for least, sign in FROST if chance is not None and chance >= least), " ")


# -- one lot


def lot_line(year: Year, line: YearLine, width: int) -> str:
    """A lot's label, plant, next step and weeks, exactly so wide."""
    of = line.line
    room = width - WEEKS - 2
    plant = max(8, room - 7 - (13 if room > 40 else 0))
    label = f"{fit(of.lot.id, 6)} {fit(of.plant, plant)}"
    label += f" {fit(of.step or of.state, 12)}" if room > 40 else ""
    return fit(f" {fit(label, room)} {strip(year, line)}", width)


def strip(year: Year, line: YearLine) -> str:
    """The weeks of a lot: what was done and is aimed at, over when it may be done, over that it goes on."""
    cells = [" "] * len(year.weeks)

    def draw(first: date, last: date, sign: str) -> None:
        begin, end = year.weeks[0].start, year.weeks[-1].end
        if first <= end and last >= begin:
            for n in range((max(first, begin) - begin).days // 7, (min(last, end) - begin).days // 7 + 1):
                cells[n] = sign

    draw(line.begins, line.ends, GOES_ON)
    for act in line.acts:
        if not act.done:
            draw(act.earliest, act.latest, MAY)
    for act in line.acts:
        draw(act.day, act.day, DONE if act.done else AIM)
    return "".join(cells)
