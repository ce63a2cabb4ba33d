"""The lines of a week that the board and the sheet share: light, frost, hours, what is left of a window."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from engine.almanac.almanac import say_minutes
from engine.reading.said import percent
from engine.schedule.states import State
from engine.views.task import Task
from engine.views.week import Week, hours_due
from tui.cells import (
    counted,
    date_cell,
    day,
    hours_cell,
    hours_said,
    weeks_or_days,
)

DUE = " due this week"
"""Stands after the hours, where there is room."""


def week_number(week: Week) -> int:
    """The number by ISO 8601 of the week in which most of these days lie, whichever day they begin on."""
    return (week.start + timedelta(3)).isocalendar().week


def light_line(week: Week) -> str:
    """`day 11 h 06 m, 22 m longer by Sunday`."""
    change = round(week.day_change)
    if change == 0:
        return f"day {say_minutes(week.day_minutes)}"
    way = "longer" if change > 0 else "shorter"
    return f"day {say_minutes(week.day_minutes)}, {abs(change)} min {way} by {week.end:%A}"


def short_light(week: Week) -> str:
    """`day 11 h 06 m, +22 m`."""
    change = round(week.day_change)
    return f"day {say_minutes(week.day_minutes)}" + (f", {change:+} min" if change else "")


def frost_line(week: Week) -> str:
    """`last frost 8 May (50 % chance), in 10 weeks`."""
    frost = week.frost
    assert frost is not None
    if frost.days < 0 and frost.chance is not None:
        return f"last frost {day(frost.day)} (50 % chance) past, {percent(frost.chance)} chance of more"
    span = "today" if frost.days == 0 else f"in {weeks_or_days(frost.days)}"
    return f"{frost.mark} {day(frost.day)} (50 % chance), {span}"


def hours_line(week: Week) -> str:
    """`7 h 30 of 14 h due this week`."""
    there = "" if week.hours_available is None else f" of {hours_said(week.hours_available)}"
    return f"{hours_said(week.hours_planned)}{there}{DUE}"


def count_line(tasks: Sequence[Task], end: date) -> str:
    """`2 tasks, 0 h 40`: the hours are those due by the week's end, as at the head of it."""
    open_tasks = [t for t in tasks if t.state is not State.DONE]
    hours = sum(hours_due(task, end) for task in tasks)
    told = counted(len(open_tasks), "task")
    return f"{told}, {hours_cell(hours)}" if hours else told


def ahead_line(task: Task) -> str:
    """What is to be made ready: `Tue 9 Mar  graft 60 pear, grafting bench`."""
    when = f"{task.aim:%a} {day(task.aim)}" if task.aim else ""
    return f"{when:>10}  {task.step}: {task.count} {task.plant} ({task.lot}), {task.place}"


def late_cell(days: int) -> str:
    """`5 days late`."""
    return f"{counted(days, 'day')} late"


def left_cell(task: Task, today: date) -> str:
    """How long there is: `4 days`, `weekly`, `from 1 Dec`, `5 days late`."""
    if task.kind != "act":
        return task.often
    if task.state is State.DONE:
        return ""
    if task.state is State.MISSED:
        return date_cell(task.aim) if task.aim else "no window"
    if over := task.over(today):
        return late_cell(over)
    if task.urged:
        return "radicles"
    if (
        task.state in (State.CLOSING, State.COMING, State.NOT_YET, State.LATER)
        and task.earliest
        and task.earliest > today
    ):
        return f"from {day(task.earliest)}"
    if task.waits_for_its_aim(today) and task.aim:
        return f"◆ {day(task.aim)}"
    if task.latest is None:
        return "no end"
    days = (task.latest - today).days
    if days < 0:
        return late_cell(-days)
    return "last day" if days == 0 else counted(days, "day")
