"""All needs in one plan: which way for each, so that as many as can be are met at the least hours, or cost.

What the ways share is held to: the hours of each month (standing work and what is under way taken off first), the room
of places that give it, and what stock plants yield. Each way is sized by itself, as surely as its need asks; it is
chosen whole or not at all. Hours count in the month in which an act aims: within a month work can be put off or spread.
"""

from __future__ import annotations

from calendar import monthrange
from collections import defaultdict
from collections.abc import Callable, Hashable, Mapping, Sequence
from datetime import date, timedelta

from engine.farm.model import Farm
from engine.needs.choose_within_limits import Option, choose, over
from engine.needs.coverage import coverage, ways_for
from engine.needs.need_lines import NeedLine
from engine.needs.prospect import prospect_of
from engine.needs.ways import Split, Way, losses_of, sure_splits
from engine.reading.frozen import dataclass
from engine.reading.said import percent
from engine.records.rates import Track
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day
from engine.schedule.room import Held, all_held, limits_of, peak
from engine.schedule.standing_work import standing_days, standing_work, used_from

HOURS, COST = "hours", "cost"


@dataclass(frozen=True, slots=True)
class Chosen:
    """A need and the way that is to meet it; two of them where one alone is not as sure as asked."""

    line: NeedLine
    way: Way | Split

    @property
    def parts(self) -> tuple[tuple[Way, int], ...]:
        """Each way with how many are started by it."""
        return self.way.parts if isinstance(self.way, Split) else ((self.way, self.way.takes),)


@dataclass(frozen=True, slots=True)
class Unmet:
    """A need that nothing chosen meets, and why."""

    line: NeedLine
    why: str


@dataclass(frozen=True, slots=True)
class Season:
    """The plan: hours in all; the cost in all where the farm gives prices, else None."""

    ways: tuple[Chosen, ...]
    unmet: tuple[Unmet, ...]
    hours: float
    cost: float | None


def season(
    day: Day,
    least: str = HOURS,
    told: Callable[[int, int], None] | None = None,
) -> Season:
    """Every need that is short, met by one way each where the limits let it, at the least `least` (hours or cost).

    Where no way alone is as sure as its need asks, two that are so together are taken.
    `told` hears how many needs have been looked at, of how many: a farm of forty takes some seconds.
    """
    nursery, plans, today = day
    short = [line for line in coverage(day).needs if line.short]
    losses = losses_of(nursery.farm)
    track, found = nursery.track, list[tuple[int, Way | Split, Mapping[Hashable, float]]]()
    reasons: dict[int, str] = {}
    months = _hours_left(day)
    held = all_held(nursery.farm, plans, today)
    limits: dict[Hashable, float] = {("hours", month): left for month, left in months.items()}
    for n, line in enumerate(short):
        if told is not None:
            told(n, len(short))
        if line.need.grade:
            reasons[n] = f'how many will be "{line.need.grade}" is known once they are graded: plan it by itself (p)'
            continue
        can = ways_for(day, line)
        alone = [way for way in can if not way.reason and way.reaches(line.need.sure)]
        if not alone and can:
            reasons[n] = _nearest(can, line)
        pairs = () if alone else sure_splits(line.short, can, losses, line.need.sure)
        choices: tuple[Way | Split, ...] = (*alone, *pairs)
        for choice in choices:
            takes: defaultdict[Hashable, float] = defaultdict(float)
            for way, count in Chosen(line, choice).parts:
                of_way = _takes(nursery, line, way, today, track, limits, held)
                for name, amount in of_way.items():
                    takes[name] += amount * count / max(1, way.takes)
            found.append((n, choice, dict(takes)))
    weights = [_weight(choice, least) for _, choice, _ in found]
    heaviest = max((weight for weight in weights if weight is not None), default=0.0) + 1  # unknown is not nothing
    options = [
        Option(n, heaviest if weight is None else weight, takes)
        for (n, _, takes), weight in zip(found, weights, strict=True)
    ]
    picked = set(choose(options, limits))
    chosen = [Chosen(short[n], way) for k, (n, way, _) in enumerate(found) if k in picked]
    met = {n for k, (n, _, _) in enumerate(found) if k in picked}
    taken = [options[k] for k in picked]
    unmet = [
        Unmet(line, _why(nursery.farm, [o for o in options if o.want == n], taken, limits) or reasons.get(n, "no way"))
        for n, line in enumerate(short)
        if n not in met
    ]
    costs = [each.way.cost for each in chosen]
    cost = sum(c.total for c in costs if c is not None) if nursery.farm.prices else None
    return Season(tuple(chosen), tuple(unmet), sum(each.way.hours or 0.0 for each in chosen), cost)


def _weight(way: Way | Split, least: str) -> float | None:
    """What a way weighs; None where the time it takes is not known."""
    cost = way.cost if least == COST else None
    return cost.total if cost is not None else way.hours


def _nearest(can: Sequence[Way], line: NeedLine) -> str:
    """Why the way that came nearest cannot be: the surest that can still begin, else the one that could the latest."""
    unsure = max((way for way in can if not way.reason), key=lambda way: way.chance, default=None)
    if unsure is not None:
        return _unsure(unsure, line)
    late = max(can, key=lambda way: way.begin_by or date.min)
    return late.reason if late.begin_by is None else f"{late.title} {late.reason}"


def _unsure(way: Way, line: NeedLine) -> str:
    return f"{way.title} gives a {percent(way.chance)} chance at most; {percent(line.need.sure)} is asked for"


def _takes(
    nursery: Nursery,
    line: NeedLine,
    way: Way,
    today: date,
    track: Track,
    limits: dict[Hashable, float],
    held: Mapping[tuple[str, str], Sequence[Held]],
) -> dict[Hashable, float]:
    """What a way takes of each limit; a limit that is met for the first time is put among them."""
    takes: defaultdict[Hashable, float] = defaultdict(float)
    prospect = prospect_of(nursery, way.protocol, line.need.cultivar, None, line.need.by, today, track)
    if prospect.plan is not None:
        for k, step in enumerate(way.protocol.steps):
            aim = prospect.plan.now.aims[k]
            if step.per_hour and aim is not None:
                takes["hours", _month(date.fromordinal(aim))] += prospect.into(k, way.takes) / step.per_hour
    holds = limits_of(nursery.farm)
    for each in way.room:
        if (key := (each.place, each.unit)) in holds:
            for week in range(each.since // 7, (each.until - 1) // 7 + 1):
                stand: Hashable = ("room", *key, week)
                takes[stand] += each.amount
                if stand not in limits:
                    limits[stand] = holds[key] - peak(held.get(key, ()), 7 * week, 7 * week + 6).amount
    if way.gives is not None:
        year = (way.start_by or way.start_from or today).year
        plants: Hashable = ("yield", way.protocol.species, line.need.cultivar, way.material, year)
        takes[plants] = float(way.takes)
        limits[plants] = float(way.gives)
    return dict(takes)


def _hours_left(day: Day) -> dict[tuple[int, int], float]:
    """The hours that each month from now on has left, for the months of which the farm says how many there are."""
    nursery, plans, today = day
    farm, taken = nursery.farm, defaultdict[tuple[int, int], float](float)
    for plan in plans:
        for k in plan.chain.order:
            aim, hours = plan.now.aims[k], plan.hours(k)
            if not plan.done(k) and aim is not None and hours:
                taken[_month(date.fromordinal(aim))] += hours
    left, used = {}, used_from(day)
    for year in range(today.year, today.year + 5):
        for month in range(1, 13):
            a_week = farm.hours_by_month[month - 1]
            days = monthrange(year, month)[1]
            first, last = max(today, date(year, month, 1)), date(year, month, days)
            if a_week is None or last < today:
                continue
            standing = (
                sum(
                    len(standing_days(nursery, work, first, last)) * work.minutes
                    for work in standing_work(nursery, first, used, last)
                )
                / 60
            )
            whole = a_week * ((last - first) + timedelta(1)).days / 7
            left[year, month] = whole - standing - taken[year, month]
    return left


def _month(day: date) -> tuple[int, int]:
    return day.year, day.month


def _why(farm: Farm, options: Sequence[Option], taken: Sequence[Option], limits: Mapping[Hashable, float]) -> str:
    """What keeps the lightest of a need's ways out of the plan, in words; nothing where there is no way at all."""
    for alone, words in (((), "not available at all"), (taken, "all taken by what is planned")):
        passed = [over(option, alone, limits) for option in sorted(options, key=lambda option: option.weight)]
        if passed and all(passed):
            return f"{_limit(farm, passed[0][0])}: {words}"
    return ""


def _limit(farm: Farm, name: Hashable) -> str:
    """A limit in words: `hours in May 2027`, `room on the mist bench (trays) in May 2027`, `scions of pear in 2027`."""
    assert isinstance(name, tuple)
    if name[0] == "hours":
        return f"hours in {date(name[1][0], name[1][1], 1):%B %Y}"
    if name[0] == "room":
        return f"room at {name[1]} ({name[2]}) in {date.fromordinal(7 * name[3]):%B %Y}"
    return f"{name[3]} of {farm.plant(name[1], name[2])} in {name[4]}"
