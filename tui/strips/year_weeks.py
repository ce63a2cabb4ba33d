"""Fifty-two weeks across: the scale of months, light, frost and hours, and one line a lot."""

from __future__ import annotations

from datetime import date

from engine.almanac.almanac import say_minutes
from engine.views.year import WEEKS, Year, YearLine
from tui.cells import day, fit
from tui.strips.bars import MONTHS, NOW, bars

DONE, AIM, MAY, GOES_ON = "■", "◆", "━", "·"

LEGEND = (
    f"{DONE} a step done   {AIM} the aim of one to come   {MAY} it may be done   {GOES_ON} the lot goes on\n"
    f"{NOW} this week.  Frost: ░ in 1 year of 10, ▒ in 1 of 4, ▓ in 1 of 2, █ in 9 of 10.\n"
    "Hours: the lower row is full at your limit; what stands above it is too much."
)

FROST = ((0.9, "█"), (0.5, "▓"), (0.25, "▒"), (0.1, "░"))
"""Signs for the chance of frost, from so much on."""


def scale(year: Year, width: int) -> list[str]:
    """Months, light, frost and hours over the weeks, each line exactly so wide."""
    weeks = year.weeks
    shortest, longest = (say_minutes(pick(w.minutes for w in weeks)) for pick in (min, max))
    light = [week.minutes for week in weeks]
    upper, lower = bars(light, min(light) - 30, max(light))
    told = [(_now(year), "months"), (upper, f"light {longest}"), (lower, f"down to {shortest}")]
    if any(week.frost is not None for week in weeks):
        told.append(("".join(_frost(week.frost) for week in weeks), "frost"))
    loads = [week.hours / (week.hours_available or 1) for week in weeks]
    limited = any(week.hours_available for week in weeks)
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
    told = [f"{day(week.start)} ({week.hours:.1f} of {week.hours_available:g} h)" for week in weeks]
    return f"too full: {', '.join(told)}" if told else ""
