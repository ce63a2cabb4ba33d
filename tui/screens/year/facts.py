"""What a lot does in the year, act by act, and how the hours of a week are made up."""

from __future__ import annotations

from rich.text import Text

from engine.views.year import Year, YearAct, YearLine
from tui.cells import day, near_day
from tui.facts import in_parts
from tui.strips.year_weeks import over_full


def facts_of(line: YearLine | None, year: Year) -> Text:
    """The acts of a lot with their days; below, the weeks that ask for more hours than there are."""
    over = over_full(year)
    note = [over] if over else []
    if line is None:
        return in_parts("No lot does anything in these weeks.", {"note": note})
    of = line.line
    done = [f"{act.step} {near_day(act.day, year.today)}" for act in line.acts if act.done]
    ahead = [f"{act.step} {near_day(act.day, year.today)}{_may(act, year)}" for act in line.acts if not act.done]
    ready = [f"ready {day(of.ready, True)}"] if of.ready and not of.over else []
    state = [f"{of.step}: {of.state}"] if of.step and not of.over else []
    parts = {"do": state, "next": [*ahead, *ready], "done": [", ".join(done)] if done else [], "note": note}
    problems = of.plan.problems if of.plan is not None and not of.over else ()
    return in_parts(f"{of.plant} · {of.lot.id} · {of.lot.count} · {of.title}", parts, problems)


def _may(act: YearAct, year: Year) -> str:
    """From when to when an act may be done in time, or since when it is overdue."""
    if act.latest < min(act.earliest, year.today):
        return f", overdue since {near_day(act.latest, year.today)}"
    if act.earliest == act.latest:
        return ""
    if act.earliest == act.day:
        return f", at the latest {near_day(act.latest, year.today)}"
    return f", may be done {near_day(act.earliest, year.today)} to {near_day(act.latest, year.today)}"
