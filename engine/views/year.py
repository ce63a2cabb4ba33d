"""Fifty-two weeks side by side: the light, the frost, the hours of each, and what every lot does in them."""

from __future__ import annotations

from datetime import date, timedelta

from engine.almanac.almanac import date_of
from engine.almanac.frost import frost_chance
from engine.almanac.phrases import parse_phrase
from engine.reading.frozen import dataclass
from engine.records.records import Lot
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day
from engine.views.batches import BatchLine, batches_view
from engine.views.hours import hours_by_week
from engine.views.week import week_start

WEEKS = 52
WEEKS_BACK = 8
"""So many of them lie before the week of the day itself."""


@dataclass(frozen=True, slots=True)
class YearWeek:
    """One week: its light on the middle day, and the hours of all that is aimed at in it.

    `frost` is the chance (0 to 1) that frost still comes on or after its middle day in spring, or has come by it in
    autumn; None where the site does not give it.
    """

    start: date
    minutes: float
    frost: float | None
    hours: float
    hours_available: float | None

    @property
    def end(self) -> date:
        """The last day of the week."""
        return self.start + timedelta(6)

    @property
    def over(self) -> bool:
        """Whether it asks for more hours than there are."""
        return self.hours_available is not None and self.hours > self.hours_available


@dataclass(frozen=True, slots=True)
class YearAct:
    """An act of a lot: the day on which it was done or is aimed at, and from when to when it is in time.

    Of what is overdue `latest` has passed, and lies before `day`.
    """

    step: str
    day: date
    done: bool
    earliest: date
    latest: date


@dataclass(frozen=True, slots=True)
class YearLine:
    """A lot with its acts, the first of them first; `begins` and `ends` are what it fills of any year."""

    line: BatchLine
    acts: tuple[YearAct, ...]
    begins: date
    ends: date


@dataclass(frozen=True, slots=True)
class Year:
    """The weeks, and the lots that do something in them."""

    today: date
    weeks: tuple[YearWeek, ...]
    lines: tuple[YearLine, ...]

    def week_of(self, day: date) -> int | None:
        """The number, from 0, of the week that holds a day; None for a day beyond them."""
        number = (day - self.weeks[0].start).days // 7
        return number if 0 <= number < len(self.weeks) else None

    @property
    def busiest(self) -> YearWeek:
        """The week with the most hours."""
        return max(self.weeks, key=lambda week: week.hours)


def year_view(day: Day, first: date | None = None) -> Year:
    """The year that begins in the week of `first` (default: some weeks before today), as things stand on `today`."""
    nursery, today = day.nursery, day.today
    start = week_start(first or today - timedelta(7 * WEEKS_BACK), nursery.farm.week_starts)
    hours = hours_by_week(day, [start + timedelta(7 * n) for n in range(WEEKS)])
    weeks = tuple(_week(nursery, today, week, planned) for week, planned in hours.items())
    lots = [lot for lot in nursery.records.lots if lot.given_up is None or _ended(lot) >= start]
    lines = (_line(line, today) for line in batches_view(day, lots))
    shown = (each for each in lines if each and each.begins <= weeks[-1].end and each.ends >= start)
    return Year(today, weeks, tuple(shown))


def _ended(lot: Lot) -> date:
    """The last day of a lot that was given up; one to which nothing was done shows nowhere."""
    return max((lot.given_up or date.min, *(done.day for done in lot.done.values()))) if lot.done else date.min


def _week(nursery: Nursery, today: date, start: date, planned: float) -> YearWeek:
    middle = start + timedelta(3)
    shown = today if start <= today <= start + timedelta(6) else start
    there_are = nursery.farm.hours_by_month[shown.month - 1]
    return YearWeek(start, nursery.almanac.day_minutes(middle), _frost(nursery, middle), planned, there_are)


def _frost(nursery: Nursery, day: date) -> float | None:
    """By the frost date (50 % chance) that lies nearer: still to come in spring, come already in autumn."""
    site, found = nursery.farm.site, []
    for frost in (site.last_frost, site.first_frost):
        phrase = None if frost is None else parse_phrase(frost.name)
        season = None if phrase is None else nursery.almanac.nearest(phrase, day.toordinal())
        if frost is None or phrase is None or season is None:
            continue
        even, chance = nursery.almanac.occurrence(phrase, season), frost_chance(frost, day)
        if even is not None and chance is not None:
            found.append((abs(even - day.toordinal()), chance))
    return min(found)[1] if found else None


def _line(line: BatchLine, today: date) -> YearLine | None:
    plan = line.plan
    if plan is None:
        return None
    acts = []
    for k, step in enumerate(plan.chain.protocol.steps):
        done = line.lot.done.get(step.do)
        day = done.day if done else None if line.over else date_of(plan.now.aims[k])
        if day is not None:
            earliest = None if done else date_of(plan.now.earliest[k])
            latest = None if done else date_of(plan.last_day(k, today.toordinal()))
            acts.append(YearAct(step.do, day, done is not None, earliest or day, latest or day))
    if not acts:
        return None
    acts.sort(key=lambda act: act.day)
    last = line.lot.given_up or (line.ready if line.ready and not line.over else acts[-1].day)
    return YearLine(line, tuple(acts), acts[0].day, max(last, acts[-1].day))
