"""The week's board: every task by place, what closes first at the top, and what to make ready for the week after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from engine.almanac.almanac import date_of
from engine.almanac.frost import frost_chance
from engine.almanac.phrases import parse_phrase
from engine.farm.model import Farm
from engine.needs.keeping import lapses
from engine.reading.frozen import dataclass, field, replace
from engine.schedule.looks import RADICLES_WAIT, look_days, said
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan
from engine.schedule.standing_work import used_from
from engine.schedule.states import State, closes_soon, state
from engine.views.standing_tasks import standing_tasks
from engine.views.task import FAR, Task
from engine.views.urgency import urgency

LOOK_HOURS = 5 / 60
"""A look at one lot takes about five minutes (from memory)."""

LIKELY, POSSIBLE = 0.5, 0.1
"""From such a chance on frost is likely, or possible."""
STILL_DAYS, STILL_LIKELY = 60, 0.05
"""So long after the day of its 50 % chance a last frost is still reckoned with, while it has such a chance."""


@dataclass(frozen=True, slots=True)
class FrostAhead:
    """The frost mark (50 % chance) that is near, and the chance that frost still comes from a day on (None: not known).

    `days` to the mark; below 0 where the last frost's day has passed and more frost may still come.
    """

    mark: str
    day: date
    days: int
    chance: float | None
    between: bool = False
    """The first frost's day has come and the last one's has not: any night may freeze."""

    @property
    def likelihood(self) -> str:
        """`any night`, `likely`, `possible`, `unlikely`; nothing where the chance is not known."""
        if self.between:
            return "any night"
        if self.chance is None:
            return ""
        return "likely" if self.chance >= LIKELY else "possible" if self.chance >= POSSIBLE else "unlikely"


OfPlans = Mapping[int, tuple[Plan, Sequence[Task], Sequence[Task]]]
"""The tasks of each plan, in a week and in the one after, by the plan's identity."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """The tasks of each plan, and the farm by whose places and hours they were found."""

    farm: Farm
    of: OfPlans


@dataclass(frozen=True, slots=True)
class Week:
    """One week of the farm as it stands on a day."""

    start: date
    end: date
    today: date
    tasks: tuple[Task, ...]
    ahead: tuple[Task, ...]
    """What is aimed at in the week after, or opens then: to be fetched or made ready."""
    day_minutes: float
    day_change: float
    """Minutes by which the day is longer (or shorter) at the week's end than at the day itself."""
    frost: FrostAhead | None
    hours_planned: float
    hours_available: float | None
    troubles: tuple[str, ...]
    """Batches that no year fits, with the reason."""
    lapses: tuple[str, ...]
    """What does not keep much longer where it stands: bare roots in a shed in spring."""
    drawn: Drawn | None = field(default=None, compare=False, repr=False)
    """What of it the same week takes over once something is recorded."""

    def places(self) -> list[tuple[str, list[Task]]]:
        """Tasks by place; the place with what closes first comes first, and standing work stands last in it."""
        groups: dict[str, list[Task]] = {}
        for task in self.tasks:
            groups.setdefault(task.place, []).append(task)
        for tasks in groups.values():
            tasks.sort(key=lambda task: urgency(task, self.today))
        return sorted(groups.items(), key=lambda item: (urgency(item[1][0], self.today), item[0]))


def week_start(day: date, week_starts: str) -> date:
    """The first day of the week that holds `day`."""
    offset = day.weekday() if week_starts == "monday" else (day.weekday() + 1) % 7
    return day - timedelta(offset)


def week_view(day: Day, within: date | None = None, before: Week | None = None) -> Week:
    """The board of the week that holds the day `within` (default: today), as things stand on `today`.

    With what was seen `before` the same, and sooner: of plans that stay as they were the tasks are taken over.
    """
    nursery, plans, today = day
    farm = nursery.farm
    start = week_start(within or today, farm.week_starts)
    end = start + timedelta(6)
    shown = today if start <= today <= end else start
    hours = farm.hours_by_month[shown.month - 1]
    known = _known(before, farm, start, today)
    drawn = {id(plan): known.get(id(plan)) or _drawn(farm, plan, today, start, hours) for plan in plans}
    tasks = [task for _, of_plan, _ in drawn.values() for task in of_plan]
    tasks += standing_tasks(nursery, today, start, end, used_from(day))
    ahead = [task for _, _, of_plan in drawn.values() for task in of_plan]
    last = min(end, FAR)
    return Week(
        start,
        end,
        today,
        tuple(tasks),
        tuple(sorted(ahead, key=lambda t: (t.aim or FAR, t.place))),
        nursery.almanac.day_minutes(shown),
        nursery.almanac.day_minutes(last) - nursery.almanac.day_minutes(shown),
        frost_ahead(nursery, shown),
        sum(hours_due(t, end) for t in tasks),
        hours,
        tuple(f"{p.lot.id}: {p.now.problems[0]}" for p in plans if not p.now.fits and p.now.problems),
        lapses(nursery, today),
        Drawn(farm.written, drawn),
    )


def to_draw(day: Day, within: date | None = None, before: Week | None = None) -> int:
    """How many plans a week has to be asked for their tasks, with what was seen `before`."""
    farm = day.nursery.farm
    known = _known(before, farm, week_start(within or day.today, farm.week_starts), day.today)
    return sum(id(plan) not in known for plan in day.plans)


def _known(before: Week | None, farm: Farm, start: date, today: date) -> OfPlans:
    """The tasks of a week that was seen before, if it is this one: as dated on the same ground, in the same hours."""
    if before is None or before.drawn is None or (before.start, before.today) != (start, today):
        return {}
    then = before.drawn.farm
    return before.drawn.of if then.same_ground(farm) and then.hours_by_month == farm.hours_by_month else {}


def _drawn(
    farm: Farm, plan: Plan, today: date, start: date, hours: float | None
) -> tuple[Plan, Sequence[Task], Sequence[Task]]:
    """A plan with its tasks in the week from `start`, and those to be made ready for the week after."""
    end, following = start + timedelta(6), start + timedelta(7)
    tasks = _acts(farm, plan, today, start, end, hours) + _looks(farm, plan, today, start, end)
    last = following + timedelta(6)
    ahead = [
        task
        for task in _acts(farm, plan, today, following, last, hours)
        if task.state != State.HELD and any(d is not None and following <= d <= last for d in (task.aim, task.latest))
    ]
    return plan, tasks, ahead


def wet_day(week: Week) -> Week:
    """Only what of a week is under cover."""
    kept = tuple(task for task in week.tasks if task.under_cover)
    ahead = tuple(task for task in week.ahead if task.under_cover)
    return replace(week, tasks=kept, ahead=ahead, hours_planned=sum(hours_due(task, week.end) for task in kept))


def frost_ahead(nursery: Nursery, day: date) -> FrostAhead | None:
    """The next of last and first frost (50 % chance) from a day on; the last frost, too, that may not have come yet.

    None at a site without frost.
    """
    site = nursery.farm.site
    if site.last_frost is not None:
        ordinal = nursery.almanac.first_from(parse_phrase("last frost"), day.toordinal() - STILL_DAYS)
        if ordinal is not None and ordinal < day.toordinal():
            chance = frost_chance(site.last_frost, day)
            if chance is not None and chance >= STILL_LIKELY:
                return FrostAhead("last frost", date.fromordinal(ordinal), ordinal - day.toordinal(), chance)
    found = []
    for name, frost in (("last frost", site.last_frost), ("first frost", site.first_frost)):
        if frost is not None:
            ordinal = nursery.almanac.first_from(parse_phrase(name), day.toordinal())
            if ordinal is not None:
                found.append(FrostAhead(name, date.fromordinal(ordinal), ordinal - day.toordinal(), None))
    if not found:
        return None
    nearest = min(found, key=lambda f: f.day)
    frost = site.last_frost if nearest.mark == "last frost" else site.first_frost
    chance = frost_chance(frost, day) if frost is not None else None
    between = nearest.mark == "last frost" and nearest.days > 0 and len(found) == 2
    return replace(nearest, chance=chance, between=between)


def plant_name(farm: Farm, plan: Plan) -> str:
    """What the grower calls a lot's plant."""
    return farm.plant(plan.batch.species, plan.batch.cultivar)


def hours_due(task: Task, end: date) -> float:
    """Hours to be spent by the end of the week: what is aimed at by then."""
    if task.state in (State.DONE, State.HELD) or task.hours is None:
        return 0.0
    if task.kind == "act" and (task.state == State.MISSED or task.aim is None or task.aim > end):
        return 0.0
    return task.hours


def _acts(farm: Farm, plan: Plan, today: date, start: date, end: date, hours: float | None) -> list[Task]:
    found = []
    current = start <= today <= end
    for k, step in enumerate(plan.chain.protocol.steps):
        done = plan.lot.done.get(step.do)
        if done is not None:
            if start <= done.day <= end:
                found.append(replace(_task(farm, plan, k, State.DONE, today), count=done.count))
            continue
        if end < today or plan.now.aims[k] is None:
            continue
        earliest, aim = plan.now.earliest[k], plan.now.aims[k]
        assert aim is not None
        opened = earliest if earliest is not None else aim
        if current:
            now = state(plan, k, today, hours)
            if now == State.MISSED and _told_before(plan, k, today.toordinal()):
                continue
            wanted = now in (State.OVERDUE, State.MISSED, State.CLOSING, State.OPEN, State.COMING) or (
                now in (State.HELD, State.NOT_YET) and opened <= end.toordinal()
            )
            seen = plan.radicles(k)  # told for a week where the bed is not open: hold the seed back, or pot it
            wanted = wanted or (seen is not None and (today - seen).days <= RADICLES_WAIT)
            wanted = wanted or plan.urged(k, today.toordinal())
        else:
            # A week ahead is seen as it will be if every act is done at its aim.
            wanted = opened <= end.toordinal() and aim >= start.toordinal()
            if not wanted:
                continue
            now = _state_ahead(plan, k, start) if step.do not in plan.lot.held else State.HELD
        if wanted:
            found.append(_task(farm, plan, k, now, today))
    return found


def _told_before(plan: Plan, k: int, today: int) -> bool:
    """Whether an act before act k says already that it was missed, or is overdue."""
    return any(plan.missed(i, today) or plan.overdue(i, today) for i in plan.chain.precedes(k))


def _state_ahead(plan: Plan, k: int, start: date) -> State:
    last = plan.now.latest[k]
    return State.CLOSING if last is not None and closes_soon(last, start.toordinal()) else State.OPEN


def act_task(farm: Farm, plan: Plan, k: int, today: date) -> Task:
    """Act k of a lot as it stands on a day, whether or not the week shows it."""
    return _task(farm, plan, k, state(plan, k, today, farm.hours_by_month[today.month - 1]), today)


def _task(farm: Farm, plan: Plan, k: int, now: State, today: date) -> Task:
    step = plan.step(k)
    missed = now == State.MISSED
    span = plan.meant.spans[k] if missed else plan.now.spans[k]
    place = farm.where(plan.batch, step) or "anywhere"
    return Task(
        kind="act",
        lot=plan.lot.id,
        species=plan.batch.species,
        plant=plant_name(farm, plan),
        method=plan.batch.method,
        step=step.do,
        place=place,
        under_cover=farm.under_cover(place),
        count=plan.count(k),
        state=now,
        opens=date_of(span.opens if span else None),
        closes=date_of(span.closes if span else None),
        earliest=date_of(plan.now.earliest[k]),
        aim=date_of(plan.now.aims[k]),
        latest=date_of(plan.last_day(k, today.toordinal())),
        best_until=date_of(plan.best_until(k, today.toordinal())),
        hours=plan.hours(k),
        plan=plan,
        index=k,
    )


def _looks(farm: Farm, plan: Plan, today: date, start: date, end: date) -> list[Task]:
    found = []
    for k, step in enumerate(plan.chain.protocol.steps):
        if not step.endures:
            continue
        done = plan.lot.done.get(step.do)
        begun = done.day if done else date_of(plan.now.aims[k])
        if begun is None or (done is None and (end < today or start <= today)):
            continue  # what has not begun is looked at only in weeks to come
        until = looked_until(plan, k, begun, today)
        if until is None:
            continue
        lasts = plan.chain.lasts[k]
        last = plan.lot.last_look(step.do)
        first = max(start, begun + timedelta(1))
        if start <= today <= end:
            first = max(begun, last.day if last else begun) + timedelta(1)
        looked = last.day if last is not None else None
        days = tuple(look_days(step, lasts, begun, first, min(end, until), looked))
        due = [day for day in days if day <= today]
        days = days[max(0, len(due) - 1) :]  # looks that were passed by do not pile up: the latest due stands for them
        if end < today or not days:
            if last is not None and start <= last.day <= end:
                found.append(replace(_look(farm, plan, k, (last.day,), begun), state=State.DONE, often=last.finding))
            continue
        task = _look(farm, plan, k, days, begun)
        found.append(replace(task, state=State.OPEN if days[0] <= today or start > today else State.COMING))
    return found[-1:]  # one line a lot: what began last


def _look(farm: Farm, plan: Plan, k: int, days: tuple[date, ...], begun: date) -> Task:
    step = plan.step(k)
    return replace(
        _task(farm, plan, k, State.OPEN, begun),
        kind="look",
        step=f"look: {step.do}",
        opens=None,
        closes=None,
        earliest=days[0],
        aim=days[0],
        latest=None,
        best_until=None,
        count=plan.lot.count,
        hours=LOOK_HOURS,
        days=days,
        often=said(step, plan.chain.lasts[k], begun, days[-1]),
    )


def looked_until(plan: Plan, k: int, begun: date, today: date) -> date | None:
    """The last day of what act k started: until what follows is done or aimed at; None where it has ended."""
    following = plan.chain.follows(k)
    if any(plan.done(j) for j in following):
        return None
    if following:
        aims = [aim for j in following if (aim := plan.now.aims[j]) is not None]
        return max(date.fromordinal(max(aims)), today + timedelta(13)) if aims else begun + timedelta(366)
    lasts = plan.chain.lasts[k]
    return begun + timedelta(lasts.most if lasts.most is not None else lasts.least)


def next_looks(farm: Farm, plan: Plan, today: date) -> list[Task]:
    """The looks that fall due within eight weeks at what a lot has begun, one a thing, the next day first in it."""
    return [task for task in _looks(farm, plan, today, today, today + timedelta(56)) if task.state != State.DONE]
