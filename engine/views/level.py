"""Levelling: acts put off within their windows until no week asks for more hours than there are.

The fullest week gives up one act at a time, to a later week in which it leads to no week as full as that one was, where
need be with one act of that week put off in its turn. Acts are only put off, as a grower does, never past their last
day, the end of their best time, or the day by which a need counts on their lot. It is a search by steps: where no one
or two acts can move it stops, though more at once might.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date

from engine.needs.coverage import coverage
from engine.reading.frozen import dataclass, replace
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan, plan_lot
from engine.views.year import Year, YearWeek, year_view

_TIE = 1e-9


@dataclass(frozen=True, slots=True)
class Putting:
    """One act to be put off, from the day at which it was aimed to the first on which it is to be done."""

    lot: str
    plant: str
    step: str
    was: date
    to: date
    hours: float


@dataclass(frozen=True, slots=True)
class Levelled:
    """The acts to put off, by the day at which they were aimed, and the year before and after."""

    puttings: tuple[Putting, ...]
    before: Year
    after: Year

    @property
    def fullest(self) -> tuple[YearWeek, YearWeek]:
        """The week that is fullest for its hours, as things stand and as they would then."""
        return _fullest(self.before.weeks), _fullest(self.after.weeks)


def level(day: Day, year: Year, counted_on: Mapping[str, date] | None = None) -> Levelled:
    """Which acts to put off. `counted_on` names lots that must be ready by a day, for the needs they are to meet.

    Where the farm says how many hours there are, only weeks with more than that are eased; else the fullest week is,
    while it can be.
    """
    board = _Board(day, year, counted_on or {})
    first = {(plan.lot.id, k): aim for plan in board.plans.values() for k, aim in enumerate(plan.now.aims)}
    stuck: set[int] = set()
    at_once = 1  # two acts are tried together only when no one act can move any more: there are many pairs
    while (n := board.to_ease(stuck)) is not None or at_once == 1:
        if n is None:
            at_once = 2
            stuck.clear()
        elif moves := board.easing(n, at_once):
            for move in moves:
                board.make(move)
            at_once = 1
            stuck.clear()
        else:
            stuck.add(n)
    plans = tuple(board.plans.values())
    return Levelled(
        _puttings(day.nursery, plans, first), year, year_view(day._replace(plans=plans), year.weeks[0].start)
    )


def levelled(day: Day, year: Year) -> Levelled:
    """What to put off in a year; no lot is put off past the day on which a need counts on it."""
    needs = coverage(day).needs
    return level(day, year, counted_on((line.need.by, line.taken) for line in needs))


def counted_on(taken: Iterable[tuple[date | None, Iterable[tuple[str, int]]]]) -> dict[str, date]:
    """By lot, the first day on which a need counts on it: from each need's day and the lots that are to meet it."""
    found: dict[str, date] = {}
    for by, lots in taken:
        for lot, _ in lots:
            if by is not None and (lot not in found or by < found[lot]):
                found[lot] = by
    return found


@dataclass(frozen=True, slots=True)
class _Move:
    """A lot with one act put off by so many days, and by how many hours each week then changes."""

    plan: Plan
    days: int
    hours: float
    change: Mapping[int, float]


class _Board:
    """The plans and the hours of each week while acts are put off; it lives for one call of `level`."""

    def __init__(self, day: Day, year: Year, counted_on: Mapping[str, date]) -> None:
        self.nursery, self.today, self.year, self.counted_on = day.nursery, day.today, year, counted_on
        self.plans = {plan.lot.id: plan for plan in day.plans}
        self.hours = [week.hours for week in year.weeks]
        self.limited = any(week.hours_available for week in year.weeks)
        self._moves: dict[tuple[str, int], tuple[_Move, ...]] = {}

    def full(self, n: int, more: float = 0.0) -> float:
        """How full a week is: of the hours there are, else in hours."""
        hours = self.hours[n] + more
        there = self.year.weeks[n].hours_available
        if not self.limited:
            return hours
        if there is None:  # a month whose hours nobody limited
            return 0.0
        return hours / there if there else (2.0 + hours if hours > 0 else 0.0)  # no hours at all: fuller than full

    def to_ease(self, stuck: Collection[int]) -> int | None:
        """The fullest of the weeks to come that is too full and not stuck."""
        ahead = [n for n, week in enumerate(self.year.weeks) if week.end >= self.today]
        most = max((self.full(n) for n in ahead), default=0.0)
        least = 1.0 if self.limited else most - _TIE
        over = [n for n in ahead if self.full(n) > least and n not in stuck]
        return max(over, key=lambda n: (self.full(n), -n), default=None)

    def easing(self, n: int, at_once: int) -> tuple[_Move, ...]:
        """The act to put off from week n so that no week it touches is as full as n was.

        With two `at_once`, the other makes room for it. Of several, what leaves the fullest of these weeks least full,
        with the shortest wait.
        """
        ways: Iterable[tuple[_Move, ...]] = ((one,) for one in self.moves(n))
        if at_once == 2:
            ways = (
                (one, other)
                for one in self.moves(n)
                for m in one.change
                if m != n and one.change[m] > 0
                for other in self.moves(m)
                if other.plan.lot.id != one.plan.lot.id
            )
        scored = [(score, moves) for moves in ways if (score := self._score(n, moves)) is not None]
        return min(scored, key=lambda way: way[0])[1] if scored else ()

    def _score(self, n: int, moves: tuple[_Move, ...]) -> tuple[float, int, float, str] | None:
        """How good a way is, the least best; None where it leaves a week as full as n was, or n no lighter."""
        change: dict[int, float] = {}
        for move in moves:
            for week, hours in move.change.items():
                change[week] = change.get(week, 0.0) + hours
        fullest = max(self.full(week, more) for week, more in change.items())
        if change.get(n, 0.0) >= -_TIE or fullest > self.full(n) - _TIE:
            return None
        days, hours = sum(move.days for move in moves), sum(move.hours for move in moves)
        return max(fullest, 1.0) if self.limited else fullest, days, -hours, moves[0].plan.lot.id

    def moves(self, n: int) -> tuple[_Move, ...]:
        """Every act aimed at in week n, put off to the first day of every later week in which it may be done."""
        found: list[_Move] = []
        for lot, plan in self.plans.items():
            if (lot, n) not in self._moves:
                self._moves[lot, n] = tuple(self._moves_of(plan, n))
            found += self._moves[lot, n]
        return tuple(found)

    def make(self, move: _Move) -> None:
        lot = move.plan.lot.id
        for week, hours in move.change.items():
            self.hours[week] += hours
        self.plans[lot] = move.plan
        self._moves = {(name, n): moves for (name, n), moves in self._moves.items() if name != lot}

    def _moves_of(self, plan: Plan, n: int) -> Iterable[_Move]:
        before, now = self._acts(plan), self.today.toordinal()
        if any(plan.missed(k, now) for k in range(len(plan.chain.spans))):
            return  # what was missed is for the grower to accept or to drop, not to be put off unseen
        for k, (week, hours) in before.items():
            ripe = week == n and not plan.overdue(k, now)
            for to in _days(plan, k, self.year.weeks[n + 1 :]) if ripe else ():
                trial = _put_off(self.nursery, plan, k, to, self.today)
                if trial is not None and not _too_late(trial, self.counted_on):
                    change: dict[int, float] = {}
                    for acts, sign in ((before, -1), (self._acts(trial), 1)):
                        for at, spent in acts.values():
                            change[at] = change.get(at, 0.0) + sign * spent
                    yield _Move(trial, (to - self.year.weeks[n].start).days, hours, change)

    def _acts(self, plan: Plan) -> dict[int, tuple[int, float]]:
        """The acts of a lot that ask for hours: by their number, the week at which they aim, and the hours."""
        found = {}
        for k, aim in enumerate(plan.now.aims):
            if aim is None or plan.done(k) or plan.step(k).do in plan.lot.held:
                continue
            week, hours = self.year.week_of(date.fromordinal(aim)), plan.hours(k)
            if week is not None and hours:
                found[k] = (week, hours)
        return found


def _days(plan: Plan, k: int, weeks: Iterable[YearWeek]) -> list[date]:
    """The first days of those weeks in which act k may still be done, while its best time lasts."""
    aim, last, best = plan.now.aims[k], plan.now.latest[k], plan.now.best_until[k]
    ends = [last] if last is not None else []
    if aim is not None and best is not None and best >= aim:
        ends.append(best)
    if not ends:
        return []  # no closing date: it would be put off for ever
    until = date.fromordinal(min(ends))
    return [week.start for week in weeks if week.start <= until]


def _put_off(nursery: Nursery, plan: Plan, k: int, to: date, today: date) -> Plan | None:
    """The lot with act k not before a day; None where that leaves its window or the chain no longer fits."""
    lot = replace(plan.lot, later={**plan.lot.later, plan.step(k).do: to})
    trial = plan_lot(nursery, lot, today)
    aim = trial.now.aims[k]
    if not trial.now.fits or aim is None or trial.now.spans != plan.now.spans:
        return None  # another year's window, or none
    if set(trial.problems) - set(plan.problems) or _poorer(plan, trial):
        return None
    return trial if aim < to.toordinal() + 7 else None


def _poorer(plan: Plan, trial: Plan) -> bool:
    """Whether an act, this one or one that goes with it, has left its best time."""
    pairs = zip(plan.now.aims, plan.now.best_until, trial.now.aims, strict=True)
    return any(
        aim is not None and best is not None and then is not None and aim <= best < then for aim, best, then in pairs
    )


def _too_late(plan: Plan, counted_on: Mapping[str, date]) -> bool:
    by, ready = counted_on.get(plan.lot.id), plan.now.ready(plan.chain)
    return by is not None and (ready is None or ready > by.toordinal())


def _puttings(
    nursery: Nursery, plans: Iterable[Plan], first: Mapping[tuple[str, int], int | None]
) -> tuple[Putting, ...]:
    found = []
    recorded = {lot.id: lot.later for lot in nursery.records.lots}
    for plan in plans:
        for k in range(len(plan.chain.spans)):
            do = plan.step(k).do
            to, was = plan.lot.later.get(do), first[plan.lot.id, k]
            if to is not None and was is not None and recorded[plan.lot.id].get(do) != to:
                plant = nursery.farm.plant(plan.batch.species, plan.batch.cultivar)
                found.append(Putting(plan.lot.id, plant, do, date.fromordinal(was), to, plan.hours(k) or 0.0))
    return tuple(sorted(found, key=lambda each: (each.was, each.to, each.lot)))


def _fullest(weeks: Iterable[YearWeek]) -> YearWeek:
    return max(weeks, key=lambda week: (week.hours / week.hours_available if week.hours_available else 0.0, week.hours))
