"""Standing work as tasks of a week: what recurs by place and season, and what is due once in its season."""

from __future__ import annotations

from datetime import date

from engine.almanac.almanac import NeverComes, say_day
from engine.almanac.windows import spans_of
from engine.farm.model import Standing
from engine.reading.frozen import replace
from engine.schedule.looks import often
from engine.schedule.nursery import Nursery
from engine.schedule.standing_work import Used, standing_days, standing_work
from engine.schedule.states import State, closes_soon
from engine.views.task import Task


def standing_tasks(
    nursery: Nursery, today: date, start: date, end: date, used: Used | None = None
) -> list[Task]:  # fmt: skip
    """The standing work of the week from `start` to `end`, as it stands on `today`; `used`: see `standing_work`."""
    found, place_for = [], nursery.farm.place_for
    for work in standing_work(nursery, max(start, min(today, end)), used, end):
        worked = {day for do, place, day in nursery.records.worked if (do, place_for(place)) == (work.do, work.place)}
        if work.once:
            found += _once(nursery, work, worked, today, start, end)
            continue
        days = standing_days(nursery, work, start, end)
        left = tuple(d for d in days if d not in worked and d >= today)
        past = max((d for d in days if d < today), default=None)
        if past is not None and today not in left and not any(past <= d <= today for d in worked):
            left = (today, *left)  # what was due and has not been done since is due now
        if not days or end < today:
            continue
        found.append(
            replace(
                _bare(nursery, work),
                count=len(left),
                state=State.OPEN if left else State.DONE,
                earliest=days[0],
                aim=left[0] if left else days[-1],
                hours=len(left) * work.minutes / 60,
                days=left or tuple(days),
                often=often(work.every_days),
            )
        )
    return found


def _bare(nursery: Nursery, work: Standing) -> Task:
    """Standing work as a task, before its days and its state are known."""
    return Task(
        kind="standing",
        lot="",
        species="",
        plant="",
        method="",
        step=work.do,
        place=work.place,
        under_cover=nursery.farm.under_cover(work.place),
        count=0,
        state=State.OPEN,
        standing=work,
    )


def _once(nursery: Nursery, work: Standing, worked: set[date], today: date, start: date, end: date) -> list[Task]:
    """Work of once a season: on the board from its opening until it is done or its season is over; of weeks to come, in
    that of its opening alone."""
    try:
        span = spans_of(nursery.almanac, work.window).from_day(start.toordinal())
    except NeverComes:
        return []  # this season does not come here
    opens, closes = date.fromordinal(span.opens), date.fromordinal(span.closes)
    when = next((day for day in sorted(worked) if opens <= day <= closes), None)
    if opens > end or end < today or (when is not None and not start <= when <= end):
        return []
    if start > today and when is None and max(opens, today) < start:
        return []  # a week ahead is seen as it will be if all is done when it opens
    day = when or max(opens, min(today, end), start)
    return [
        replace(
            _bare(nursery, work),
            count=0 if when else 1,
            state=State.DONE
            if when
            else State.CLOSING
            if closes_soon(closes.toordinal(), max(today, start).toordinal())
            else State.OPEN,
            opens=opens,
            closes=closes,
            earliest=opens,
            aim=day,
            latest=closes,
            hours=0.0 if when else work.minutes / 60,
            days=(day,),
            often=f"by {say_day(closes.toordinal())}",
        )
    ]
