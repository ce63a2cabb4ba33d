"""The plan of the batches, and the marks of a year: what the plan and dates commands print."""

from __future__ import annotations

from datetime import date

from engine.almanac.almanac import Almanac, date_of
from engine.almanac.phrases import FROST_MARKS, parse_phrase
from engine.almanac.why_this_date import reason, why_never
from engine.farm.hardiness import too_tender
from engine.reading.frozen import dataclass
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan
from engine.schedule.states import State, state
from engine.schedule.stretches import stretches
from engine.schedule.why_this_act import why

CHANCES = (0.9, 0.5, 0.1)


@dataclass(frozen=True, slots=True)
class StepLine:
    """One act of a batch: its bounds, aim, and state on a day, each date None where nothing bounds it."""

    step: str
    place: str
    earliest: date | None
    aim: date | None
    latest: date | None
    done: date | None
    state: State
    count: int
    why: tuple[str, ...]
    spans: tuple[tuple[date, date], ...] = ()
    """First and last day of each stretch in which it may be done and all that follows fits: those of a year."""


@dataclass(frozen=True, slots=True)
class BatchLines:
    """A lot's whole chain; `ready` is when everything has ended, by the aims."""

    plan: Plan
    ready: date | None
    problems: tuple[str, ...]
    steps: tuple[StepLine, ...]


def batch_lines(nursery: Nursery, plan: Plan, today: date) -> BatchLines:
    """The chain of a lot as it stands on a day."""
    farm = nursery.farm
    hours = farm.hours_by_month[today.month - 1]
    lines = []
    spans = stretches(plan.chain, plan.now.wish, today.toordinal())
    for k, step in enumerate(plan.chain.protocol.steps):
        done = plan.lot.done.get(step.do)
        lines.append(
            StepLine(
                step.do,
                farm.place_for(step.place),
                date_of(plan.now.earliest[k]),
                date_of(plan.now.aims[k]),
                date_of(plan.last_day(k, today.toordinal())),
                done.day if done else None,
                state(plan, k, today, hours) if plan.now.aims[k] is not None or done else State.LATER,
                done.count if done else plan.count(k),
                why(plan, k, today),
                tuple((date.fromordinal(first), date.fromordinal(last)) for first, last in spans[k]),
            )
        )
    for step in plan.batch.protocol.steps:
        if step.do in plan.lot.dropped or step.do in plan.passed_over:
            reason = "skipped: what follows was done" if step.do in plan.passed_over else "dropped by you"
            lines.append(StepLine(step.do, step.place, None, None, None, None, State.DROPPED, 0, (reason,)))
    order = {s.do: n for n, s in enumerate(plan.batch.protocol.steps)}
    lines.sort(key=lambda line: order[line.step])
    tender = too_tender(farm, plan.batch)
    problems = (*plan.problems, *((tender,) if tender else ()))
    return BatchLines(plan, date_of(plan.now.ready(plan.chain)), problems, tuple(lines))


@dataclass(frozen=True, slots=True)
class MarkLine:
    """A mark in a year: its chance where it is a frost date, its day (None: it never comes), and what set it."""

    name: str
    chance: float | None
    day: date | None
    set_by: str


def year_marks(almanac: Almanac, year: int) -> tuple[MarkLine, ...]:
    """Every mark's occurrences in a calendar year, by date; those that do not come at the end."""
    lines: list[MarkLine] = []
    for name in almanac.mark_names():
        chances: tuple[float | None, ...] = CHANCES if name in FROST_MARKS else (None,)
        for chance in chances:
            lines += _in_year(almanac, name, chance, year)
    return tuple(sorted(lines, key=lambda line: (line.day or date.max, line.name)))


def _in_year(almanac: Almanac, name: str, chance: float | None, year: int) -> list[MarkLine]:
    phrase = parse_phrase(name if chance is None else f"{name} ({chance:.0%})")
    found = []
    for season in (year - 1, year, year + 1):
        ordinal = almanac.occurrence(phrase, season)
        if ordinal is not None and date.fromordinal(ordinal).year == year:
            found.append(MarkLine(name, chance, date.fromordinal(ordinal), reason(almanac, name, season, chance)))
    if found:
        return found
    nearest = almanac.nearest(phrase, date(year, 7, 1).toordinal())
    if nearest is None:
        return [MarkLine(name, chance, None, why_never(almanac, phrase))]
    other = almanac.occurrence(phrase, nearest)
    return [MarkLine(name, chance, None, f"none falls in {year}; the nearest is {date_of(other)}")]


def year_day_lengths(almanac: Almanac, year: int) -> tuple[tuple[date, float], ...]:
    """Every day of a year with its minutes from sunrise to sunset."""
    first, last = date(year, 1, 1).toordinal(), date(year, 12, 31).toordinal()
    days = (date.fromordinal(n) for n in range(first, last + 1))
    return tuple((day, almanac.day_minutes(day)) for day in days)
