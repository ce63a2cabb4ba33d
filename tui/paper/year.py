"""The year as text for the wall and as JSON for scripts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.coverage import coverage
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan
from engine.views.level import Levelled, counted_on, level
from engine.views.year import Year, YearWeek
from tui.paper.sheets import WIDTH, day
from tui.screens.year.facts import over_full
from tui.screens.year.rows import LEGEND, lot_line, scale


def year_sheet(farm: Farm, year: Year) -> str:
    """The scale and a line for each lot, within 80 columns."""
    first, last = year.weeks[0].start, year.weeks[-1].end
    lines = [f"{farm.name or 'Farm'} · {day(first, True)} to {day(last, True)}", *scale(year, WIDTH), ""]
    lines += [lot_line(year, line, WIDTH) for line in year.lines] or [" No lot does anything in these weeks."]
    lines += ["", *wrap(over_full(year), WIDTH), *LEGEND.splitlines()]
    return "\n".join(line.rstrip() for line in lines)


def year_json(year: Year) -> dict[str, Any]:
    """Dates are ISO 8601, light is in minutes from sunrise to sunset, the chance of frost runs from 0 to 1."""
    return {
        "weeks": [
            {
                "start": week.start.isoformat(),
                "day_length_minutes": round(week.minutes, 1),
                "frost_chance": None if week.frost is None else round(week.frost, 4),
                "hours": round(week.hours, 2),
                "hours_there_are": week.hours_there_are,
            }
            for week in year.weeks
        ],
        "lots": [
            {
                "lot": each.line.lot.id,
                "species": each.line.lot.batch.species,
                "state": each.line.state,
                "acts": [
                    {
                        "step": act.step,
                        "day": act.day.isoformat(),
                        "done": act.done,
                        "earliest": act.earliest.isoformat(),
                        "latest": act.latest.isoformat(),
                    }
                    for act in each.acts
                ],
            }
            for each in year.lines
        ],
    }


# -- levelling


def levelled(nursery: Nursery, plans: Sequence[Plan], today: date, year: Year) -> Levelled:
    """What to put off; no lot is put off past the day on which a need counts on it."""
    needs = coverage(nursery, plans, today).needs
    return level(nursery, plans, today, year, counted_on((line.need.by, line.taken) for line in needs))


def level_lines(found: Levelled, most: int) -> list[str]:
    """The fullest week before and after, then the acts to be put off, no more than so many of them."""
    before, after = found.fullest
    lines = [f"fullest week now: {_hours(before)}", f"and then: {_hours(after)}", ""]
    for each in found.puttings[:most]:
        lines.append(f"{each.step} {each.lot}: {day(each.was)} → {day(each.to)}, {each.hours:.1f} h")
    more = len(found.puttings) - most
    return [*lines, f"and {more} more"] if more > 0 else lines


def level_json(found: Levelled) -> dict[str, Any]:
    """The hours of each week before and after, and the acts to be put off."""
    return {
        "weeks": [
            {"start": one.start.isoformat(), "hours": round(one.hours, 2), "then": round(other.hours, 2)}
            for one, other in zip(found.before.weeks, found.after.weeks, strict=True)
        ],
        "put_off": [
            {
                "lot": p.lot,
                "step": p.step,
                "from": p.was.isoformat(),
                "to": p.to.isoformat(),
                "hours": round(p.hours, 2),
            }
            for p in found.puttings
        ],
    }


def _hours(week: YearWeek) -> str:
    there = "" if week.hours_there_are is None else f" of {week.hours_there_are:g}"
    return f"that of {day(week.start)}, {week.hours:.1f}{there} hours"
