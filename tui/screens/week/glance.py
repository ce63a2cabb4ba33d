"""What a week answers at a glance: what closes first, what is late, the hours spoken for, and whether it may freeze."""

from __future__ import annotations

from collections.abc import Iterable

from engine.almanac.almanac import say_day
from engine.farm.model import Farm
from engine.schedule.plan import Plan
from engine.schedule.states import State
from engine.views import urgency
from engine.views.next_week import begin_much_later, opens_or_ends
from engine.views.task import Task
from engine.views.week import Week
from tui.cells import counted, day
from tui.paper.week_lines import frost_line, hours_line, light_line, short_light

GAUGE = 6
"""Cells of the gauge of hours."""


def closes_first(week: Week) -> str:
    """`closes first: sow hazel local H26, by 6 Apr`; what is overdue is told beside it."""
    first = urgency.closes_first(week.tasks, week.today)
    if first is None or first.latest is None:
        return "nothing is closing"
    return f"closes first: {first.step} {first.plant} {first.lot}, by {day(first.latest)}"


def late(week: Week, orders: int = 0) -> str:
    """`3 overdue, 1 missed`; and so many orders that were to have gone."""
    counts = {state: sum(task.state == state for task in week.tasks) for state in (State.OVERDUE, State.MISSED)}
    told = [f"{count} {state}" for state, count in counts.items() if count]
    if orders:
        told.append(f"{counted(orders, 'order')} overdue")
    return ", ".join(told) or "no task overdue or missed"


def hours(week: Week) -> str:
    """`9 h of 20 h due this week ███░░░`."""
    if not week.hours_available:
        return hours_line(week)
    full = min(GAUGE, round(GAUGE * week.hours_planned / week.hours_available))
    return f"{hours_line(week)} {'█' * full}{'░' * (GAUGE - full)}"


def frost(week: Week) -> str:
    """`frost any night: last frost 4 May …`, `frost unlikely: first frost 12 Oct …`."""
    ahead = week.frost
    if ahead is None:
        return "no frost here"
    return f"frost {ahead.likelihood}: {frost_line(week)}" if ahead.likelihood else frost_line(week)


def light(week: Week, room: int) -> str:
    """The day's length and how it changes, as long as there is room."""
    short = short_light(week)
    return next((told for told in (light_line(week), short, short.partition(",")[0]) if len(told) <= room), "")


# -- the week after


def coming_lines(week: Week, following: Week) -> list[tuple[str, Task]]:
    """What opens or ends in the week after, the first of it first; what is to be made ready for is told already."""
    found = []
    for when, opens, task in opens_or_ends(week, following):
        what = "opens" if opens else "last day"
        line = f"{when:%a} {day(when):>6}  {what}: {task.step}, {task.count} {task.plant} ({task.lot}), {task.place}"
        found.append((when, line, task))
    return [(line, task) for _, line, task in sorted(found, key=lambda each: each[:2])]


def routine_lines(following: Week) -> list[tuple[str, tuple[Task, ...]]]:
    """`cold store: 7 looks, read the thermometer`: what recurs in the week after, place by place."""
    found = []
    for place, tasks in following.places():
        looks = [task for task in tasks if task.kind == "look"]
        work = [task for task in tasks if task.kind == "standing"]
        told = [*([counted(len(looks), "look")] if looks else []), *(task.step for task in work)]
        if told:
            found.append((f"{place}: {', '.join(told)}", (*work, *looks)))
    return found


def coming_title(following: Week) -> str:
    """`next week, 12 Apr to 18 Apr: 6.5 of 20 hours due, 4 looks`."""
    looks = sum(task.kind == "look" for task in following.tasks)
    told = f"next week, {day(following.start)} to {day(following.end)}"
    due = hours_line(following).removesuffix(" this week")
    return f"{told}: {due}" + (f", {counted(looks, 'look')}" if looks else "")


# -- what begins much later

NAMED = 3


def begin_later(farm: Farm, plans: Iterable[Plan], week: Week, room: int) -> str:
    """`to start later: BW26 black walnut (collect 5 Sep 27), and 2 more`, as many as there is room for."""
    told = [
        f"{plan.lot.id} {farm.species_of(plan.batch.species).name} ({plan.step(k).do} {say_day(ordinal, True)})"
        for ordinal, k, plan in begin_much_later(plans, week)
    ]
    for named in range(min(NAMED, len(told)), 0, -1):
        more = f", and {len(told) - named} more" if len(told) > named else ""
        if len(line := f"to start later: {', '.join(told[:named])}{more}") <= room:
            return line
    return f"to start later: {counted(len(told), 'lot')}" if told else ""
