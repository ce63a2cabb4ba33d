"""A year looked back on: planned against actual by species and method, what came through, when, in what time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from engine.farm.model import Batch
from engine.farm.stock import Need
from engine.needs.ways import ways
from engine.odds.rates import Rate, batch_runs, expected_share
from engine.protocols.model import Step
from engine.reading.frozen import dataclass
from engine.reading.said import percent
from engine.records.rates import Track, book_of, learned_for, results_of
from engine.records.records import Lot
from engine.schedule.chain import ChainFault
from engine.schedule.nursery import Nursery
from engine.schedule.placing import Placement, Wish
from engine.schedule.plan import Day, Plan
from engine.schedule.states import closes_soon

WANTED = 100
"""So many plants at the end are taken to say how many are to be started."""
SURE = 0.9
"""As surely as a need that names no other sureness."""
LATE_DAYS = 10
"""Acts that come so much after their aim are told (common practice: a week is weather)."""


@dataclass(frozen=True, slots=True)
class StepReview:
    """One step over all batches of a kind in the year. Shares are 0 to 1.

    `late` is days after the aim (below 0: before it) of the plant in the middle: no small part moves it.
    """

    do: str
    batches: int
    into: int
    through: int
    """How many went in and came out of those that were counted; what is still in the ground is not judged."""
    planned: float | None
    learned: float | None
    """What the next batch is reckoned with, now that these are in."""
    late: float | None
    pressed: bool = False
    """Whether one of them was done in the last days that its window had left, or after its best time."""

    @property
    def waits(self) -> bool:
        """Whether something is lost in it, and nothing of that was counted yet."""
        return self.planned is not None and not self.into

    @property
    def actual(self) -> float | None:
        """The share that came through, 0 to 1; None where nothing was counted, or nothing was planned to be lost."""
        return self.through / self.into if self.into and self.planned is not None else None


@dataclass(frozen=True, slots=True)
class KindReview:
    """A species by a method and route: its steps done in the year, hours planned and worked at the known rates."""

    species: str
    plant: str
    method: str
    route: str
    batches: tuple[str, ...]
    steps: tuple[StepReview, ...]
    hours_planned: float
    hours: float
    """By how many were really done, at the protocol's rates: hours themselves are not recorded."""
    missed: tuple[tuple[str, str], ...]
    """Batches and steps whose last day passed undone in the year."""
    change: tuple[str, ...]
    """What the grower might change, in words."""

    @property
    def planned(self) -> float | None:
        """The share planned through the steps done in the year that were counted; None where none was."""
        return _together([s.planned for s in self.steps if s.actual is not None and s.planned is not None])

    @property
    def actual(self) -> float | None:
        """The share that came through those steps, 0 to 1; None where none was counted."""
        return _together([min(1.0, s.actual) for s in self.steps if s.actual is not None])


def _together(shares: Sequence[float]) -> float | None:
    return expected_share([Rate(share) for share in shares]) if shares else None


@dataclass(frozen=True, slots=True)
class _Sum:
    """What is added up for one step of one kind."""

    step: Step
    learned: float | None
    into: int = 0
    through: int = 0
    late: tuple[tuple[int, int], ...] = ()
    """Of each act: days after its aim, and how many plants."""
    pressed: bool = False
    batches: frozenset[str] = frozenset()


def review(day: Day, year: int) -> tuple[KindReview, ...]:
    """What was done in a calendar year against what was planned, by species and method."""
    nursery, plans, today = day
    track = nursery.track
    results = results_of(nursery.records, today)
    missed = _missed(plans, year, today)
    firsts: dict[str, Batch] = {}
    for lot in nursery.records.lots:
        firsts.setdefault(lot.batch.id, lot.batch)
    lots: dict[str, list[Lot]] = {}
    for lot in (*nursery.records.lots, *nursery.records.joined):
        lots.setdefault(lot.batch.id, []).append(lot)
    kinds: dict[tuple[str, str, str], dict[str, Batch]] = {}
    for name, first in firsts.items():
        kinds.setdefault((first.species, first.method, first.protocol.route), {})[name] = first
    found = [
        _kind(day, track, results, [*batches.values()], lots, year, [m for m in missed if m[0] in batches])
        for batches in kinds.values()
    ]
    return tuple(sorted((k for k in found if k.steps or k.missed), key=lambda k: (k.plant.lower(), k.method, k.route)))


def _kind(
    day: Day,
    track: Track,
    results: Mapping[tuple[str, str], tuple[Batch, int, int]],
    batches: Sequence[Batch],
    lots: Mapping[str, Sequence[Lot]],
    year: int,
    missed: Sequence[tuple[str, str]],
) -> KindReview:
    """What was done of one kind; `lots` are those of every batch."""
    nursery = day.nursery
    sums: dict[str, _Sum] = {}
    planned = worked = 0.0
    seen: set[tuple[str, str, str]] = set()
    for batch in batches:
        meant = _meant(nursery, batch)
        expected = float(batch.count)
        for k, step in enumerate(batch.protocol.steps):
            aim = meant.aims[k] if meant is not None else None
            if step.per_hour and aim is not None and date.fromordinal(aim).year == year:
                planned += expected / step.per_hour
            expected *= 1.0 if step.survive is None else step.survive
            for lot in lots[batch.id]:
                done = lot.done.get(step.do)
                if done is None or done.day.year != year:
                    continue
                if (batch.id, step.do, done.entry) in seen:
                    continue
                seen.add((batch.id, step.do, done.entry))
                here = sums.get(step.do)
                if here is None:
                    learned = learned_for(track, batch.protocol, batch.cultivar, step)
                    here = _Sum(step, learned.rate.mean if learned else None)
                into = through = 0
                if batch.id not in here.batches:  # its parts together, once
                    _, into, through = results.get((batch.id, step.do), (batch, 0, 0))
                sums[step.do] = _Sum(
                    here.step,
                    here.learned,
                    here.into + into,
                    here.through + min(through, into),
                    here.late if aim is None else (*here.late, (done.day.toordinal() - aim, done.into)),
                    here.pressed or (meant is not None and _pressed(meant, k, done.day.toordinal())),
                    here.batches | {batch.id},
                )
                worked += done.into / step.per_hour if step.per_hour else 0.0
    first = batches[0]
    order = [s.do for s in first.protocol.steps]
    steps = tuple(
        StepReview(
            s.step.do, len(s.batches), s.into, s.through, s.step.survive, s.learned,
            _middle(s.late), s.pressed,
        )
        for s in sorted(sums.values(), key=lambda s: order.index(s.step.do) if s.step.do in order else len(order))
    )  # fmt: skip
    poor = any(_below(s, sums[s.do].step) for s in steps)
    more = _starts(day, batches[0]) if poor else 0
    change = (*(told for s in steps if (told := _change(s, sums[s.do].step, more))), *_after_missed(missed))
    ids = tuple(b.id for b in batches if any(b.id in s.batches for s in sums.values()))
    plant = nursery.farm.species_of(first.species).name
    return KindReview(
        first.species, plant, first.method, first.protocol.route, ids, steps, planned, worked, tuple(missed), change
    )


def _meant(nursery: Nursery, batch: Batch) -> Placement | None:
    """Where the acts would have lain by the plan alone, nothing done yet."""
    try:
        chain = nursery.chain(batch.protocol)
    except ChainFault:
        return None
    start = batch.start.toordinal() if batch.start else None
    ready = batch.ready.toordinal() if batch.ready else None
    return nursery.meant(chain, Wish(start, ready))


def _pressed(meant: Placement, k: int, day: int) -> bool:
    """Whether an act was done after its best time, or in the last days of its window."""
    best, last = meant.best_until[k], meant.latest[k]
    return (best is not None and day > best) or (last is not None and closes_soon(last, day))


def _missed(plans: Sequence[Plan], year: int, today: date) -> list[tuple[str, str]]:
    found = []
    for plan in plans:
        for k, step in enumerate(plan.chain.protocol.steps):
            last = plan.meant.latest[k]
            if last is not None and plan.missed(k, today.toordinal()) and date.fromordinal(last).year == year:
                found.append((plan.batch.id, step.do))
    return list(dict.fromkeys(found))


def _middle(late: Sequence[tuple[int, int]]) -> float | None:
    """The days that half of the plants were at least as late as; None where nothing was done that has an aim."""
    half = sum(count for _, count in late) / 2
    for days, count in sorted(late):
        half -= count
        if half <= 0:
            return float(days)
    return None


def _starts(day: Day, batch: Batch) -> int:
    """How many to start for WANTED plants at the end, as the ways tell it; 0: no number does."""
    need = Need("", batch.species, batch.cultivar, "", WANTED, None, SURE)
    mine = (batch.protocol.method, batch.protocol.route)
    return next((way.takes for way in ways(day, need) if (way.protocol.method, way.protocol.route) == mine), 0)


def _below(step: StepReview, of: Step) -> bool:
    """Whether a step went worse than nine batches of ten do by the book."""
    if not step.planned or step.actual is None:
        return False
    book = book_of(of)
    return book is not None and step.through < batch_runs(book, step.into)[0]


def _change(step: StepReview, of: Step, more: int) -> str:
    """What a step's figures call for, or nothing: poorer than a batch runs by the book, or much too late.

    `more` is how many are to be started for WANTED plants.
    """
    told = []
    if step.planned and step.actual is not None and step.into:
        book = book_of(of)
        came = f"{percent(step.actual)} came through, {percent(step.planned)} were planned"
        high = step.into if book is None else batch_runs(book, step.into)[1]
        if _below(step, of):
            sure = percent(SURE)
            instead = (
                f"start {more} for {WANTED} plants in the end, {sure} sure" if more else "no number would be enough"
            )
            told.append(f"{came}: {instead}; or use another method")
        elif step.through > high or step.actual > step.planned + 0.1:
            told.append(f"{came}: you could start fewer")
        elif step.actual < step.planned - 0.1:
            told.append(f"{came}: within the usual range")
    if step.late is not None and step.late > LATE_DAYS and step.pressed:
        told.append(f"done {step.late:.0f} days later than planned: begin sooner, or plan fewer")
    return f"{step.do}: {'; '.join(told)}" if told else ""


def _after_missed(missed: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    return tuple(f"{batch}: the window to {do} was missed" for batch, do in missed)
