"""What a lot does in the year, act by act, and how the hours of a week are made up."""

from __future__ import annotations

from rich.text import Text

from engine.views.year import Year, YearAct, YearLine
from tui.cells import day, near_day
from tui.facts import part
from tui.strips.year_weeks import over_full


def facts_of(line: YearLine | None, year: Year) -> Text:
    """The acts of a lot with their days; below, the weeks that ask for more hours than there are."""
    text = Text()
    if line is None:
        text.append("No lot does anything in these weeks.", style="not bold")
    else:
        of = line.line
        text.append(f"{of.plant} · {of.lot.id} · {of.lot.count} · {of.title}", style="bold")
        for problem in of.plan.now.problems if of.plan is not None and not of.over else ():
            text.append(f"\n! {problem}", style="bold not italic")
        done = [f"{act.step} {near_day(act.day, year.today)}" for act in line.acts if act.done]
        part(text, "done", [", ".join(done)] if done else [])
        ahead = []
        for act in line.acts:
            if not act.done:
                ahead.append(f"{act.step} {near_day(act.day, year.today)}{_may(act, year)}")
        part(text, "next", [*ahead, *([f"ready {day(of.ready, True)}"] if of.ready and not of.over else [])])
    if over := over_full(year):
        text.append(f"\n{over}", style="not bold")
    return text


def _may(act: YearAct, year: Year) -> str:
    """From when to when an act may be done in time, or since when it is overdue."""
    if act.latest < min(act.earliest, year.today):
        return f", overdue since {near_day(act.latest, year.today)}"
    if act.earliest == act.latest:
        return ""
    return f", may be done {near_day(act.earliest, year.today)} to {near_day(act.latest, year.today)}"
