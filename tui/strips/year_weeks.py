"""Fifty-two weeks across: the scale of months, light, frost and hours, and one line a lot."""

from __future__ import annotations

from datetime import date

from engine.reading.frozen import dataclass
from engine.views.year import WEEKS, Year, YearLine
from tui.cells import day, fit, hours_cell, hours_said
from tui.strips.bars import MONTHS, NOW, row

DONE, AIM, MAY, GOES_ON = "■", "◆", "━", "·"
LIMIT = "▁"
"""The line above which a week asks for more hours than there are."""

LEGEND = (
    f"{DONE} a step done   {AIM} the aim of one to come   {MAY} it may be done   {GOES_ON} the lot goes on\n"
    f"{NOW} this week\n"
    "░ frost in 1 year of 10   ▒ in 1 of 4   ▓ in 1 of 2   █ in 9 of 10\n"
    f"{LIMIT} your limit of hours: above it is too much"
)

FROST = ((0.9, "█"), (0.5, "▓"), (0.25, "▒"), (0.1, "░"))
"""Signs for the chance of frost, from so much on."""


@dataclass(frozen=True, slots=True)
class ScaleRow:
    """One row over the weeks: its label, a cell a week, and what it shows."""

    label: str
    cells: str
    shows: str = ""
    short: str = ""
    """Its label where there is less room."""

    def named(self, room: int) -> str:
        """Its label in so many cells: whole, else the short one, else its first word, as far as that goes in."""
        first = self.label.split(" ")[0].rstrip(",")
        return next((each for each in (self.label, self.short, first) if each and len(each) <= room), "")


def scale_rows(year: Year) -> list[ScaleRow]:
    """Months, today, light, frost, and hours against their limit."""
    weeks = year.weeks
    light = [week.minutes for week in weeks]
    shortest, longest = (hours_cell(pick(light) / 60) for pick in (min, max))
    rows = [
        ScaleRow("months", _months(year)),
        ScaleRow(f"today, {day(year.today)}", _now(year)),
        ScaleRow(f"light {shortest} to {longest}", row(light, min(light) - 60, max(light)), "light"),
    ]
    if any(week.frost is not None for week in weeks):
        rows.append(ScaleRow("frost, how likely", "".join(_frost(week.frost) for week in weeks), "frost"))
    there = [week.hours_available for week in weeks if week.hours_available]
    most = f"hours, {hours_said(year.busiest.hours)} on {day(year.busiest.start)}"
    about = f"hours, {year.busiest.hours:.0f} on {day(year.busiest.start)}"
    if not there:
        cells = row([week.hours for week in weeks], 0, year.busiest.hours or 1)
        return [*rows, ScaleRow(most, cells, "hours", about)]
    # A week without a limit is drawn by the greatest of the others', with no line to pass.
    loads = [week.hours / (max(there) if week.hours_available is None else week.hours_available or 1) for week in weeks]
    over = "".join(
        " " if week.hours_available is None else row([load], 1, 2).replace(LIMIT, "▂") if load > 1 else LIMIT
        for week, load in zip(weeks, loads, strict=True)
    )
    least, greatest = f"{min(there):g}", f"{max(there):g}"
    limit = f"limit {least if least == greatest else f'{least} to {greatest}'} h"
    rows.append(ScaleRow(f"{limit} a week", over, "over", limit))
    return [*rows, ScaleRow(most, row(loads, 0, 1), "hours", about)]


def scale(year: Year, width: int) -> list[str]:
    """The rows over the weeks as text, each exactly so wide."""
    room = width - WEEKS - 2
    return [fit(f" {fit(each.named(room), room)} {each.cells}", width) for each in scale_rows(year)]


def _months(year: Year) -> str:
    """The first letter of each month in the week in which it begins."""
    begins = [n == 0 or week.end.day <= 7 for n, week in enumerate(year.weeks)]
    return "".join(MONTHS[week.end.month - 1] if b else " " for b, week in zip(begins, year.weeks, strict=True))


def _now(year: Year) -> str:
    here = year.week_of(year.today)
    return "".join(NOW if n == here else " " for n in range(len(year.weeks)))


def _frost(chance: float | None) -> str:
    return next((sign for least, sign in FROST if chance is not None and chance >= least), " ")


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


def over_full(year: Year) -> str:
    """The weeks to come that ask for more than there is, or nothing."""
    weeks = [week for week in year.weeks if week.over and week.end >= year.today]
    told = [
        f"{day(week.start)} ({hours_said(week.hours)} of {hours_said(week.hours_available or 0)})" for week in weeks
    ]
    return f"too full: {', '.join(told)}" if told else ""
