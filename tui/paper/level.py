"""What to put off so that no week is too full, as text and as JSON."""

from __future__ import annotations

from typing import Any

from engine.views.level import Levelled
from engine.views.year import YearWeek
from tui.cells import day, hours_said


def level_lines(found: Levelled, most: int) -> list[str]:
    """The fullest week before and after, then the acts to be put off, no more than so many of them."""
    before, after = found.fullest
    lines = [f"fullest week now: {_hours(before)}", f"and then: {_hours(after)}", ""]
    for each in found.puttings[:most]:
        lines.append(f"{each.step} {each.lot}: {day(each.was)} → {day(each.to)}, {hours_said(each.hours)}")
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
    there = "" if week.hours_available is None else f" of {hours_said(week.hours_available)}"
    return f"that of {day(week.start)}, {hours_said(week.hours)}{there}"
