"""The window strip: a dozen cells from a window's opening to its close, drawn as far as the task's own last day.

So the slack is seen and not computed, and what the wait ends sooner than the season is not drawn as long.
"""

from __future__ import annotations

from datetime import date

from engine.schedule.states import State
from engine.views.task import Task

CELLS = 12
GONE, HERE, LEFT, POORER, AIM, OVER = "·", "●", "━", "╌", "◆", " "
"""Days gone; the day itself; days left; days left when later is poorer; the aim; days of the window past its last."""


def window_strip(task: Task, today: date, cells: int = CELLS) -> str:
    """The strip of a task on a day, or blanks where nothing bounds it."""
    if task.kind == "standing":
        return _days(task, cells)
    opens = task.opens or task.earliest
    closes = task.closes or task.latest
    if task.over(today) and not (opens and closes and opens <= closes):
        return GONE * cells
    if task.state is State.DONE or opens is None or closes is None or closes < opens:
        return " " * cells
    length = (closes - opens).days + 1

    def cell(day: date) -> int:
        return min(cells - 1, max(0, (day - opens).days * cells // length))

    here = cell(today)
    strip = [GONE if n < here else LEFT for n in range(cells)]
    if task.best_until is not None:
        for n in range(max(here, cell(task.best_until) + 1), cells):
            strip[n] = POORER
    if task.aim is not None and opens <= task.aim <= closes and task.aim > today and cell(task.aim) != here:
        strip[cell(task.aim)] = AIM
    last = min(closes, task.latest or closes)
    for n in range(cell(last) + 1, cells):
        strip[n] = OVER
    if opens <= today <= last:
        strip[here] = HERE
    elif today > last:
        strip = [GONE if n <= here else OVER for n in range(cells)]
    return "".join(strip)


def _days(task: Task, cells: int) -> str:
    """The days of the week on which standing work falls, by their first letters."""
    week = "".join("MTWTFSS"[n] if any(d.weekday() == n for d in task.days) else GONE for n in range(7))
    return f"{week:<{cells}}" if task.state is not State.DONE else " " * cells
