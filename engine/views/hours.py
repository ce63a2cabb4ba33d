"""The hours of many weeks at once, as the board of each has them: every lot is gone through once, not once a week."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from engine.almanac.almanac import date_of
from engine.reading.frozen import dataclass
from engine.schedule.looks import look_days
from engine.schedule.plan import Day, Plan
from engine.schedule.standing_work import used_from
from engine.views.standing_tasks import standing_tasks
from engine.views.week import LOOK_HOURS, hours_due, looked_until, week_view


@dataclass(frozen=True, slots=True)
class _Weeks:
    """So many weeks that follow one another, from the first day of the first."""

    first: date
    count: int

    @property
    def last(self) -> date:
        return self.first + timedelta(7 * self.count - 1)

    def start_of(self, day: date) -> date | None:
        """The first day of the week that holds a day; None for a day beyond them."""
        number = (day - self.first).days // 7
        return self.first + timedelta(7 * number) if 0 <= number < self.count else None


def hours_by_week(day: Day, starts: Sequence[date]) -> dict[date, float]:
    """The hours planned of weeks that follow one another, by their first day."""
    nursery, plans, today = day
    hours: dict[date, float] = {}
    used = used_from(day)
    for start in starts:
        end = start + timedelta(6)
        if start <= today <= end:
            hours[start] = week_view(day, start).hours_planned
        else:
            hours[start] = sum(hours_due(task, end) for task in standing_tasks(nursery, today, start, end, used))
    ahead = [start for start in starts if start > today]  # in a week that is over nothing is due
    if ahead:
        weeks = _Weeks(ahead[0], len(ahead))
        for plan in plans:
            _add_acts(hours, weeks, plan)
            for start in _with_looks(weeks, plan, today):
                hours[start] += LOOK_HOURS
    return hours


def _add_acts(hours: dict[date, float], weeks: _Weeks, plan: Plan) -> None:
    """An act asks for its hours in the week in which it is aimed at."""
    for k, step in enumerate(plan.chain.protocol.steps):
        aim = date_of(plan.now.aims[k])
        if aim is None or step.do in plan.lot.done or step.do in plan.lot.held:
            continue
        start = weeks.start_of(aim)
        if start is not None and (date_of(plan.now.earliest[k]) or aim) <= start + timedelta(6):
            hours[start] += plan.hours(k) or 0.0


def _with_looks(weeks: _Weeks, plan: Plan, today: date) -> set[date]:
    """The weeks in which a lot is looked at: of several looks in one week, the board has one line."""
    found: set[date] = set()
    for k, step in enumerate(plan.chain.protocol.steps):
        if not step.endures:
            continue
        done = plan.lot.done.get(step.do)
        begun = done.day if done else date_of(plan.now.aims[k])
        until = None if begun is None else looked_until(plan, k, begun, today)
        if begun is None or until is None:
            continue
        last = plan.lot.last_look(step.do)
        first = max(weeks.first, begun + timedelta(1))
        days = look_days(
            step, plan.chain.lasts[k], begun, first, min(weeks.last, until), last.day if last is not None else None
        )
        found.update(start for day in days if (start := weeks.start_of(day)) is not None)
    return found
