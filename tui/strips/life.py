"""A lot's year in a dozen cells or two: the acts done, the day, the acts to come, from three months back on."""

from __future__ import annotations

from bisect import bisect_right
from datetime import date

from engine.views.batches import BatchLine
from tui.strips.bars import MONTHS

MONTHS_BACK = 3
DONE, GONE, HERE, ACT, AHEAD = "■", "·", "●", "◆", "━"
BEFORE, BEYOND = "‹", "›"
LEGEND = (
    f"{DONE} a step done   {GONE} went on   {HERE} now   {ACT} a step to come   {AHEAD} goes on\n"
    f"{BEFORE} {BEYOND} steps before and beyond these twelve months"
)


def edges(today: date, cells: int) -> list[date]:
    """The first day of every cell and the day after the last: twelve months, each of so many cells (12, 24, …)."""
    found = []
    for month in range(12):
        year, number = divmod(today.year * 12 + today.month - 1 - MONTHS_BACK + month, 12)
        each = cells // 12
        found += [date(year, number + 1, 1 + part * 30 // each) for part in range(each)]
    return [*found, date(found[0].year + 1, found[0].month, 1)]


def letters(today: date, cells: int) -> str:
    """The months' first letters over their cells."""
    each = cells // 12
    return "".join(f"{MONTHS[day.month - 1]:<{each}}" for day in edges(today, cells)[:-1:each])


def strip(line: BatchLine, today: date, cells: int) -> str:
    """The strip of a lot, exactly so many cells (a multiple of 12); blank where no date is known."""
    starts = edges(today, cells)
    plan = line.plan
    done = [act.day for act in line.lot.done.values()]
    ahead = [] if plan is None or line.over else [
        date.fromordinal(aim) for k, aim in enumerate(plan.now.aims) if aim is not None and not plan.done(k)
    ]  # fmt: skip
    ends = [*done, *ahead, *([line.ready] if line.ready and ahead else []), *_given_up(line)]
    if not ends:
        return " " * cells
    first, last = min(ends), max(ends)
    here = _cell(starts, today)
    drawn = []
    for n in range(cells):
        begins, following = starts[n], starts[n + 1]
        going = first < following and last >= begins
        drawn.append(" " if not going else GONE if n < here else AHEAD)
    for days, sign in ((done, DONE), (ahead, ACT)):
        for day in days:
            if starts[0] <= day < starts[-1]:
                drawn[_cell(starts, day)] = sign
    if first <= today <= last:
        drawn[here] = HERE
    if min([*done, *ahead], default=today) < starts[0] and drawn[0] in (GONE, AHEAD):
        drawn[0] = BEFORE
    if max([*done, *ahead], default=today) >= starts[-1] and drawn[-1] in (GONE, AHEAD, " "):
        drawn[-1] = BEYOND
    return "".join(drawn)


def _given_up(line: BatchLine) -> list[date]:
    return [line.lot.given_up] if line.lot.given_up is not None else []


def _cell(starts: list[date], day: date) -> int:
    return bisect_right(starts, day) - 1
