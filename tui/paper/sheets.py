"""The views as plain text for the clipboard on the wall: aligned, within 80 columns, no colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from textwrap import wrap
from typing import TYPE_CHECKING

from engine.almanac.almanac import Almanac, say_day, say_days, say_minutes
from engine.farm.model import Farm
from engine.views.task import Task
from engine.views.week import Week, hours_due

if TYPE_CHECKING:
    from engine.views.plan import BatchLines, MarkLine

WIDTH = 80


def week_sheet(farm: Farm, week: Week) -> str:
    """The week by place, each task with a box to tick."""
    from engine.views.panel import panel

    lines = [
        f"{farm.name or 'Farm'} · week {week_number(week)}, "
        f"{week.start:%a} {day(week.start)} to {week.end:%a} {day(week.end, True)}",
        light_line(week),
        *([frost_line(week)] if week.frost else []),
        hours_line(week),
    ]
    plants: dict[str, None] = {}
    for place, tasks in week.places():
        lines += ["", f"{place.upper()}  {count_line(tasks, week.end)}"]
        told_here: set[str] = set()
        for task in tasks:
            lines += _task_lines(task, week.today)
            told = panel(farm, task, week.today)
            if task.state in ("missed", "closing"):
                lines += _indented(told.why[0] if task.state == "missed" or task.urged else told.why[-1])
            own = task.plan.step(task.index).cautions if task.plan else ()
            for caution in own[:2] if task.state != "done" else ():
                if caution not in told_here:  # once in a place: nobody reads it five times
                    lines += _indented(f"! {caution}")
                    told_here.add(caution)
            plants |= dict.fromkeys(c for c in told.cautions if c not in own)
    if not week.tasks:
        lines += ["", "Nothing is due."]
    if week.ahead:
        lines += ["", "MAKE READY FOR NEXT WEEK"]
        lines += [f"    {ahead_line(task)}"[:WIDTH] for task in week.ahead]
    for trouble in week.troubles:
        lines += ["", *wrap(f"Does not fit: {trouble}", WIDTH)]
    if plants:  # once for all, not with every job
        lines += ["", "OF THESE PLANTS"]
        for caution in plants:
            lines += _indented(f"! {caution}", "  ")
    lines += ["", "Widger advises; local codes, labels and your plant-health authority decide."]
    return "\n".join(lines)


def plan_sheet(farm: Farm, batches: Sequence[BatchLines], today: date, why: bool) -> str:
    """Each batch's chain with its dates; with the reasons where one batch is asked for."""
    lines: list[str] = []
    for b in batches:
        plan = b.plan
        name = farm.species_of(plan.batch.species).name
        cultivar = f" {plan.batch.cultivar}" if plan.batch.cultivar else ""
        route = f", {plan.batch.protocol.route}" if plan.batch.protocol.route else ""
        lines += wrap(f"{plan.lot.id} · {name}{cultivar} · {plan.batch.method}{route} · {plan.lot.count}", WIDTH)
        for problem in b.problems:
            lines += _indented(problem, "  ! ")
        lines.append(f"  {'step':<16} {'place':<15} {'from':>9} {'aim':>9} {'until':>9}  state")
        for s in b.steps:
            if s.done is not None:
                dates = f"{'':>9} {date_cell(s.done):>9} {'':>9}"
            else:
                dates = f"{date_cell(s.earliest):>9} {date_cell(s.aim):>9} {date_cell(s.latest):>9}"
            lines.append(f"  {s.step[:16]:<16} {s.place[:15]:<15} {dates}  {s.state}")
            if why:
                for reason in s.why:
                    lines += _indented(reason, "      ")
        if b.ready:
            lines.append(f"  ready {day(b.ready, True)}")
        lines.append("")
    return "\n".join(lines).rstrip() or "No batches."


def dates_sheet(farm: Farm, almanac: Almanac, year: int, marks: Iterable[MarkLine]) -> str:
    """The marks of a year, and the day length by the half month."""
    lines = [f"{farm.name or 'Farm'} · marks of {year}", ""]
    for mark in marks:
        name = mark.name if mark.chance is None else f"{mark.name} ({mark.chance:.0%})"
        unknown = "no other chance is known" in mark.set_by
        when = f"{mark.day:%a} {day(mark.day)}" if mark.day else "not known" if unknown else "never"
        first, *rest = wrap(mark.set_by, WIDTH - 43) or [""]
        lines.append(f"  {name:<27} {when:>10}  {first}".rstrip())
        lines += [" " * 41 + more for more in rest]
    lines += ["", "Day length"]
    for month in range(1, 13, 2):
        cells = [
            f"{day(d):>6} {say_minutes(almanac.day_minutes(d))}"
            for m in (month, month + 1)
            for d in (date(year, m, 1), date(year, m, 15))
        ]
        lines.append("  " + "   ".join(cells))
    return "\n".join(lines)


# -- lines that the screens share


def week_number(week: Week) -> int:
    """The number by ISO 8601 of the week in which most of these days lie, whichever day they begin on."""
    return (week.start + timedelta(3)).isocalendar().week


def light_line(week: Week) -> str:
    """`day 11 h 06 m, 22 m longer by Sunday`."""
    change = round(week.day_change)
    if change == 0:
        return f"day {say_minutes(week.day_minutes)}"
    way = "longer" if change > 0 else "shorter"
    return f"day {say_minutes(week.day_minutes)}, {abs(change)} m {way} by {week.end:%A}"


def frost_line(week: Week) -> str:
    """`last frost 8 May at even odds, in 10 weeks`."""
    frost = week.frost
    assert frost is not None
    span = (
        "today"
        if frost.days == 0
        else f"in {say_days(frost.days)}"
        if frost.days < 21
        else f"in {frost.days // 7} weeks"
    )
    return f"{frost.mark} {say_day(frost.day.toordinal())} at even odds, {span}"


def hours_line(week: Week) -> str:
    """`7.5 of 14 hours due this week`."""
    there = "" if week.hours_there_are is None else f" of {week.hours_there_are:g}"
    return f"{week.hours_planned:.1f}{there} hours due this week"


def count_line(tasks: Sequence[Task], end: date) -> str:
    """`2 jobs, 0 h 40`: the hours are those due by the week's end, as at the head of it."""
    open_tasks = [t for t in tasks if t.state != "done"]
    hours = sum(hours_due(task, end) for task in tasks)
    jobs = "1 job" if len(open_tasks) == 1 else f"{len(open_tasks)} jobs"
    return f"{jobs}, {hours_cell(hours)}" if hours else jobs


def hours_cell(hours: float) -> str:
    """`3 h 50`."""
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02}"


def ahead_line(task: Task) -> str:
    """What is to be made ready: `Tue 9 Mar  graft 60 pear, grafting bench`."""
    when = f"{task.aim:%a} {day(task.aim)}" if task.aim else ""
    return f"{when:>10}  {task.step}: {task.count} {task.plant} ({task.lot}), {task.place}"


def left_cell(task: Task, today: date) -> str:
    """How long there is: `4 days`, `every 7 days`, `missed`."""
    if task.kind != "act":
        return task.often.replace(" days", "d").replace("twice a week", "2 a week")
    if task.state == "done":
        return ""
    if task.state == "missed":
        return date_cell(task.aim) if task.aim else "no chance"
    if task.urged:
        return "radicles"
    if task.state in ("closing", "coming", "waiting", "later") and task.earliest and task.earliest > today:
        days = (task.earliest - today).days
        return f"in {days} d"
    if task.plan is not None and (over := task.plan.days_over(task.index, today.toordinal())):
        return f"{over} d over"
    if task.waits_for_its_aim(today) and task.aim:
        return f"◆ {day(task.aim)}"
    if task.latest is None:
        return "no end"
    days = (task.latest - today).days
    if days < 0:
        return f"{-days} d over"
    return "last day" if days == 0 else f"{days} day{'s' if days != 1 else ''}"


def date_cell(value: date | None) -> str:
    return "-" if value is None else f"{value.day} {value:%b} {value:%y}"


def day(value: date, year: bool = False) -> str:
    return say_day(value.toordinal(), year)


def _task_lines(task: Task, today: date) -> list[str]:
    box = "[x]" if task.state == "done" else "[ ]"
    count = str(task.count) if task.kind == "act" else ""
    until = task.often
    over = 0 if task.plan is None or task.kind != "act" else task.plan.days_over(task.index, today.toordinal())
    if task.state == "missed":
        until = f"next {date_cell(task.aim)}" if task.aim else "no chance"
    elif task.waits_for_its_aim(today) and task.aim:
        until = f"aim {day(task.aim)}"
    elif over and task.state != "done":
        until = f"{over} d over"
    elif task.kind == "act" and task.latest and task.state != "done":
        until = f"by {day(task.latest)}"
    head = f"{box} {task.state:<8} {task.step:<18} {count:>5}  "
    room = WIDTH - 17 - len(head) - len(task.lot) - 1  # the plant's name gives way, never the lot's
    plant = task.plant if len(task.plant) <= room else f"{task.plant[: max(0, room - 1)]}…"
    return [f"{f'{head}{plant} {task.lot}':<{WIDTH - 17}} {until:>16}".rstrip()]


def _indented(text: str, indent: str = "             ") -> list[str]:
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=" " * len(indent))
