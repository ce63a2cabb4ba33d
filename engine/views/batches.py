"""Every lot by the season in which it starts: what comes next, when it is ready, how it stands, and its whole life."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from engine.almanac.almanac import date_of
from engine.journal.entry import Entry
from engine.reading.frozen import dataclass
from engine.records.records import Look, Lot, apply
from engine.records.stock import Movement
from engine.schedule.chain import ChainFault
from engine.schedule.nursery import Nursery
from engine.schedule.placing import Wish, place
from engine.schedule.plan import Day, Plan, plan_lot
from engine.schedule.states import State, state
from engine.views.lot_ledger import LedgerLine, ledger

OVER = (State.DONE, State.DROPPED)
NO_YEAR = "no year"
"""The state of a lot that no year fits, or whose protocol cannot be followed."""


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One lot on a day. `following` is the index of its next act, None where nothing follows."""

    lot: Lot
    plan: Plan | None
    plant: str
    starts: date | None
    season: str
    following: int | None
    ready: date | None
    state: str

    @property
    def over(self) -> bool:
        """Whether nothing more is to be done for it."""
        return self.state in OVER

    @property
    def step(self) -> str:
        """What comes next, or nothing."""
        return self.plan.step(self.following).do if self.plan is not None and self.following is not None else ""

    @property
    def day(self) -> date | None:
        """When that is aimed at."""
        return None if self.plan is None or self.following is None else date_of(self.plan.now.aims[self.following])

    @property
    def title(self) -> str:
        """Method and route."""
        route = self.lot.batch.protocol.route
        return f"{self.lot.batch.method}, {route}" if route else self.lot.batch.method


def batches_view(day: Day, lots: Iterable[Lot] | None = None) -> tuple[BatchLine, ...]:
    """Every lot (or these), those that are given up too, by the day on which it starts or started."""
    nursery, plans, today = day
    planned = {plan.lot.id: plan for plan in plans}
    lines = [_line(nursery, lot, planned.get(lot.id) or _planned(nursery, lot, today), today)
             for lot in (nursery.records.lots if lots is None else lots)]  # fmt: skip
    return tuple(sorted(lines, key=lambda line: (line.starts or date.max, line.lot.id)))


def season_of(day: date, latitude: float) -> str:
    """`winter 2026-27`, `spring 2027`: three months each from December on, half a year apart across the equator."""
    number = (day.month % 12) // 3  # 0 from December on
    south = latitude < 0
    name = ("winter", "spring", "summer", "autumn")[(number + 2) % 4 if south else number]
    if number:
        return f"{name} {day.year}"
    first = day.year - (day.month < 12)
    return f"{name} {first}-{(first + 1) % 100:02}"


def _planned(nursery: Nursery, lot: Lot, today: date) -> Plan | None:
    try:
        return plan_lot(nursery, lot, today)
    except ChainFault:
        return None  # told by `faults`


def _line(nursery: Nursery, lot: Lot, plan: Plan | None, today: date) -> BatchLine:
    farm = nursery.farm
    batch = lot.batch
    name = farm.species_of(batch.species).name
    plant = f"{name} {batch.cultivar}".rstrip()
    days = [done.day for done in lot.done.values()]
    if plan is not None and not days:
        days = [d for aim in plan.now.aims if (d := date_of(aim)) is not None]
    starts = min(days, default=batch.start or batch.ready)
    season = season_of(starts, farm.site.latitude) if starts else ""
    if plan is None:
        return BatchLine(lot, None, plant, starts, season, None, None, State.DROPPED if lot.given_up else NO_YEAR)
    following = plan.next_act
    now: str
    if lot.given_up is not None or not plan.chain.spans:  # or every step was dropped
        now, following = State.DROPPED, None
    elif following is None:
        now = State.DONE
    elif not plan.now.fits:
        now = NO_YEAR
    else:
        now = state(plan, following, today, farm.hours_by_month[today.month - 1])
    return BatchLine(lot, plan, plant, starts, season, following, date_of(plan.now.ready(plan.chain)), now)


# -- one lot's whole life


@dataclass(frozen=True, slots=True)
class LifeStep:
    """An act: when it was first planned and when it is aimed at or was done, how many went in and came out of it."""

    step: str
    place: str
    planned: date | None
    aim: date | None
    done: date | None
    went_in: int | None
    came_out: int | None
    state: str


@dataclass(frozen=True, slots=True)
class Life:
    """A lot's whole life: its acts, looks, notes and the movements of its stock."""

    line: BatchLine
    steps: tuple[LifeStep, ...]
    looks: tuple[Look, ...]
    notes: tuple[tuple[date, str], ...]
    moves: tuple[LedgerLine, ...]


def life(nursery: Nursery, line: BatchLine, entries: Sequence[Entry], today: date) -> Life:
    """The life of a lot; `entries` are those that stand."""
    lot, plan, farm = line.lot, line.plan, nursery.farm
    watched = apply(farm, entries, (lot.id,), nursery.records).stock.movements
    meant = _first_planned(nursery, lot)
    hours = farm.hours_by_month[today.month - 1]
    steps = []
    for step in lot.batch.protocol.steps:
        done = lot.done.get(step.do)
        k = plan.index(step.do) if plan is not None else None
        where = farm.where(lot.batch, step)
        if done is not None:
            went_in = done.count + _lost(watched, done.entry, lot.id)
            steps.append(
                LifeStep(step.do, where, meant.get(step.do), None, done.day, went_in, done.count, State.DONE)
            )  # fmt: skip
        elif plan is None or k is None:
            gone = State.DROPPED if step.do in lot.dropped else "skipped" if plan is not None else ""
            steps.append(LifeStep(step.do, where, meant.get(step.do), None, None, None, None, gone))
        else:
            now = "" if lot.given_up is not None else state(plan, k, today, hours)
            aim = None if lot.given_up is not None else date_of(plan.now.aims[k])
            steps.append(LifeStep(step.do, where, meant.get(step.do), aim, None, plan.count(k), None, now))
    return Life(line, tuple(steps), lot.looks, lot.notes, ledger(watched, lot.id))


def _first_planned(nursery: Nursery, lot: Lot) -> dict[str, date]:
    """The aims of a lot as it was first planned, before anything was done or missed."""
    batch = lot.batch
    try:
        chain = nursery.chain(batch.protocol)
    except ChainFault:
        return {}
    start = batch.start.toordinal() if batch.start else None
    ready = batch.ready.toordinal() if batch.ready else None
    placed = place(chain, Wish(start, ready))
    aims = zip(chain.protocol.steps, placed.aims, strict=True)
    return {step.do: date.fromordinal(aim) for step, aim in aims if aim is not None}


def _lost(moves: Iterable[Movement], entry: str, lot: str) -> int:
    """How many of a lot did not come through the act of that entry; fewer than none where there came more."""
    lost = 0
    for moved in moves:
        if moved.entry == entry and moved.target == "lost" and moved.source[0] == lot:
            lost += moved.count
    came = [m.count for m in moves if m.entry == entry and m.source == "propagated" and m.target[0] == lot]
    return lost - sum(came[1:])  # the first brought the lot in
