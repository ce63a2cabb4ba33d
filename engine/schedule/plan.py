"""The plan of every lot on a day: what was meant, what still can be, and the state of each act."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from engine.almanac.almanac import say_day, say_days
from engine.farm.model import Batch
from engine.protocols.model import Step
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass, field, replace
from engine.records.counts_teach import taught_otherwise
from engine.records.rates import Track
from engine.records.records import Lot
from engine.schedule.chain import Chain, ChainFault
from engine.schedule.looks import RADICLES_WAIT
from engine.schedule.nursery import Nursery
from engine.schedule.placing import Placement, Wish, of_its_season, place
from engine.schedule.treatment import Course, courses, lasting

SOON = 7
"""Days within which an act asks what follows it at once: done for nothing where that finds no window any more."""


@dataclass(frozen=True, slots=True)
class Plan:
    """One lot on a day. `meant` is placed without regard to today, `now` with undone acts not before it."""

    lot: Lot
    chain: Chain
    meant: Placement
    now: Placement
    passed_over: frozenset[str]
    """Steps not done before one that was: the chain went on without them."""
    courses: Mapping[str, Course] = field(default_factory=dict)
    """The treatments of seed that have begun, by step."""
    track: Track = field(default_factory=Track, compare=False, repr=False)
    """What the grower's own batches came to."""
    units: str = "metric"
    """Those of the farm, for words about it."""

    @property
    def batch(self) -> Batch:
        """The batch that the lot is, or is a part of."""
        return self.lot.batch

    @property
    def problems(self) -> tuple[str, ...]:
        """What is told of where its acts lie now."""
        return (*self.now.problems, *of_its_season(self.chain, self.now))

    def index(self, do: str) -> int | None:
        """The number of the act of that name; None where it was dropped, or is none."""
        return next((k for k, s in enumerate(self.chain.protocol.steps) if s.do == do), None)

    def step(self, k: int) -> Step:
        """The step that act k is, as its protocol has it."""
        return self.chain.protocol.steps[k]

    def done(self, k: int) -> bool:
        """Whether act k is recorded as done."""
        return self.step(k).do in self.lot.done

    @property
    def undone(self) -> tuple[int, ...]:
        """The acts that are not recorded as done, in their order."""
        return tuple(k for k in self.chain.order if not self.done(k))

    @property
    def next_act(self) -> int | None:
        """The next act: the first aimed at of those that nothing undone comes before; None: all is done."""
        free = [k for k in self.undone if all(self.done(b) for b in self.chain.before[k])]
        return min(free or self.undone, key=lambda k: (self.now.aims[k] or 0, k), default=None)

    @property
    def first_possible(self) -> tuple[int, int] | None:
        """The act that can be done first of those not done, and that day (an ordinal); None where no year fits."""
        days = ((day, k) for k in self.undone if (day := self.now.earliest[k]) is not None)
        return next(((k, day) for day, k in sorted(days)), None)

    def missed(self, k: int, today: int) -> bool:
        """Whether act k's chance has passed undone: its latest day is over, and it, or what follows, moved on.

        Where another window of the same season takes the place of the one that passed, nothing is missed. What waits
        for no season is overdue, once all before it is done, and never missed.
        """
        if not self._passed(k, today) or self.overdue(k, today):
            return False
        return self.chain.spans[k] is not None or not self.chain.before[k] or self._shut(k, today)

    def put_to_another_season(self, k: int, today: int) -> int | None:
        """Of what follows act k, the first that waits for another season since act k was not done in time."""
        if not self._passed(k, today):
            return None
        return next((j for j in self.chain.order if j in self.chain.reaches(k) and self._moved_on(j)), None)

    def overdue(self, k: int, today: int) -> bool:
        """Whether act k is past its time, all before it is done, and no season forbids it: its own window is open
        today, if it has one, and what must follow it soon finds its own. What lies too long cannot wait for a season,
        but for what would be done in vain: cuttings are not soaked for a bed that has closed.
        What lasts and asks nothing more than to be left alone (overwintering, hardening off) went on unrecorded.
        """
        before, domain = self.chain.before[k], self.chain.spans[k]
        if self._left_alone(k, today):
            domain = None
        if self.done(k) or not self.now.fits or not all(self.done(i) for i in before):
            return False
        if self.now.wish.not_before.get(k, today) > today or (domain is not None and domain.rise(today) != today):
            return False
        if self._passed(k, today):
            lies = self.days_over(k, today) and any(self.step(i).endures for i in before)
            in_vain = self._shut(k, today, SOON) if lies else self._shut(k, today)
            return bool(before) and not in_vain
        last, meant = self.now.latest[k], self.meant.latest[k]
        past = domain is None and meant is not None and meant < today and (last is None or last < today)
        return past or (self.days_over(k, today) > 0 and (self.radicles_by(k) or 0) < today)

    def _left_alone(self, k: int, today: int) -> bool:
        """Whether act k is care that lasts, after another act, and its days passed without its being recorded."""
        step, last = self.step(k), self.meant.latest[k]
        lasts = step.role is Role.CARE and step.endures and bool(self.chain.before[k])
        return lasts and last is not None and last < today

    def _passed(self, k: int, today: int) -> bool:
        """Whether act k's latest day is over, and it, or what follows, waits for another season."""
        if self.done(k) or not self.meant.fits:
            return False
        last = self.meant.latest[k]
        if last is None or last >= today:
            return False
        return any(self._moved_on(j) for j in self.chain.reaches(k))

    def _shut(self, k: int, today: int, within: int | None = None) -> bool:
        """Whether what must follow act k within some days, at most `within`, finds no window then, were it done now."""
        network = self.chain.as_done(self.now.wish.done).network
        for j in self.chain.reaches(k) - {k}:
            domain, most = self.chain.spans[j], network.most(k, j)
            if domain is None or most is None or (within is not None and most > within):
                continue
            if domain.rise(today + network.least[k][j]) > today + most:
                return True
        return False

    def _moved_on(self, j: int) -> bool:
        """Whether act j waits for another season's window than was meant."""
        meant, now, domain = self.meant.spans[j], self.now.spans[j], self.chain.spans[j]
        if meant is None or domain is None or meant == now:
            return False
        return now is None or not domain.one_season(meant, now)

    def days_over(self, k: int, today: int) -> int:
        """Days by which act k has waited longer than it should after a step done; 0 where it has not."""
        over = [
            today - since - most
            for i in self.chain.before[k]
            if self.done(i)
            and (most := self.chain.waits[i, k].most) is not None
            and (since := self.now.earliest[i]) is not None
        ]
        return max(0, *over) if over and not self.done(k) else 0

    def due(self, k: int, today: int) -> int:
        """The last day, an ordinal, on which act k was in time, of one that is overdue today."""
        meant = self.meant.latest[k]
        last = self._with_radicles(k, meant if meant is not None and meant < today else None)
        by_wait = today if self.radicles(k) is not None else today - self.days_over(k, today)
        return by_wait if last is None else min(last, by_wait)

    def last_day(self, k: int, today: int) -> int | None:
        """The last day, an ordinal, on which act k is in time; None where nothing ends it.

        Of what is overdue it has passed, though a season may let it be done for long yet.
        """
        if self.overdue(k, today):
            return self.due(k, today)
        return self._with_radicles(k, self.now.latest[k])

    def _with_radicles(self, k: int, last: int | None) -> int | None:
        """The last day of act k where radicles were seen in what it follows; else the one that is given."""
        by, seen = self.radicles_by(k), self.radicles(k)
        if by is None or seen is None:
            return last
        return by if last is None or last == seen.toordinal() + RADICLES_WAIT else min(last, by)

    def best_until(self, k: int, today: int) -> int | None:
        """Until when, an ordinal, it is best to do act k; None where it ends before that, or nothing is better."""
        best, last = self.now.best_until[k], self.last_day(k, today)
        return best if best is None or last is None or best < last else None

    def radicles_by(self, k: int) -> int | None:
        """The last day for seed whose radicles showed: a week on, or a week on from the day on which the bed opens."""
        seen, span = self.radicles(k), self.now.spans[k]
        if seen is None:
            return None
        return max(seen.toordinal(), 0 if span is None else span.opens) + RADICLES_WAIT

    def radicles_told(self, k: int) -> str:
        """`radicles seen 25 Mar: sow within 7 days, by 1 Apr`; with the bed's opening where they came before it."""
        seen, by, span = self.radicles(k), self.radicles_by(k), self.now.spans[k]
        if seen is None or by is None:
            return ""
        early = f", open from {say_day(span.opens)}" if span is not None and span.opens > seen.toordinal() else ""
        within = f"{self.step(k).do} within {say_days(RADICLES_WAIT)}"
        return f"radicles seen {say_day(seen.toordinal())}{early}: {within}, by {say_day(by)}"

    def radicles(self, k: int) -> date | None:
        """When radicles were seen in what act k follows, where it is still to be done."""
        if not self.lot.looks or self.done(k):
            return None
        seen = (self.lot.radicles(self.step(i).do) for i in self.chain.before[k] if self.done(i))
        return next((day for day in seen if day is not None), None)

    def urged(self, k: int, today: int) -> bool:
        """Whether radicles were seen in what act k follows, and its window is open: it is due."""
        span = self.now.spans[k]
        return self.radicles(k) is not None and (span is None or span.opens <= today)

    def share(self, k: int) -> float:
        """The share, 0 to 1, that is expected to come through act k: by the book, and as own batches have taught."""
        return self.track.share(self.batch.protocol, self.batch.cultivar, self.step(k))

    def count(self, k: int) -> int:
        """How many act k has to do: what is there, less what the acts before it that are not counted yet may lose."""
        expected = float(self.lot.into)
        for i in self.chain.precedes(k):
            if not self.done(i) or self.step(i).do in self.lot.under:
                expected *= self.share(i)
        return min(self.lot.count, round(expected))

    def hours(self, k: int) -> float | None:
        """Hours that act k takes, by its rate; None where no rate is known."""
        rate = self.step(k).per_hour
        return None if rate is None else self.count(k) / rate


def plan_lot(nursery: Nursery, lot: Lot, today: date) -> Plan:
    """The plan of a lot on a day. Raises ChainFault where its protocol cannot be followed anywhere."""
    protocol = lot.batch.protocol
    whole = nursery.chain(protocol)
    over = _passed_over(whole, lot)
    treatments = courses(nursery.farm, lot, nursery.records.outages)
    lasts = lasting(lot, treatments)
    gone = frozenset(lot.dropped) | over
    chain = nursery.chain(protocol, gone, lasts) if gone or lasts else whole
    steps = chain.protocol.steps
    done = {k: lot.done[s.do].day.toordinal() for k, s in enumerate(steps) if s.do in lot.done}
    later = {k: lot.later[s.do].toordinal() for k, s in enumerate(steps) if s.do in lot.later and k not in done}
    start = lot.batch.start.toordinal() if lot.batch.start else None
    ready = lot.batch.ready.toordinal() if lot.batch.ready else None
    accepted = lot.accepted.toordinal() if lot.accepted else None
    meant = nursery.meant(chain, Wish(start, ready, accepted, done, later))
    now_day = today.toordinal()
    late = any(k not in done and day is not None and day < now_day for k, day in enumerate(meant.earliest))
    unset = any(day is None for day in meant.earliest)
    now = place(chain, Wish(start, ready, now_day, done, later), tell=False) if late or unset else meant
    if unset and not late and now.spans == meant.spans and now.fits:
        now = replace(now, aims=meant.aims)  # a batch with a day to be ready by is not drawn on from day to day
    plan = Plan(lot, chain, meant, now, over, treatments, nursery.track, nursery.farm.units)
    waits = [k for k, day in enumerate(now.earliest) if day is not None and day > now_day and plan.overdue(k, now_day)]
    if waits:  # it cannot lie until another season: it is done now, and the rest goes on from that
        pinned = {**done, **dict.fromkeys(waits, now_day)}
        plan = replace(plan, now=place(chain, Wish(start, ready, now_day, pinned, later), tell=False))
    return _told_of_radicles(plan)


def _told_of_radicles(plan: Plan) -> Plan:
    """In place of a wait whose days stand nowhere, the radicles that set it."""
    problems = plan.now.problems
    for k, step in enumerate(plan.chain.protocol.steps if problems else ()):
        if plan.radicles(k) is not None:
            broken = f"{step.do} cannot come within "
            problems = tuple(plan.radicles_told(k) if told.startswith(broken) else told for told in problems)
    return plan if problems == plan.now.problems else replace(plan, now=replace(plan.now, problems=problems))


class Day(NamedTuple):
    """A farm on a day: its lots' plans for it, which another day takes over where they stay as they were."""

    nursery: Nursery
    plans: Sequence[Plan]
    today: date

    def still(self, nursery: Nursery, today: date) -> dict[int, Plan]:
        """By the identity of the lot, the plans that are the same there on that day."""
        before, now = self.nursery.records, nursery.records
        same = self.today == today and self.nursery.almanac is nursery.almanac  # the same marks, seen and computed
        if not same or not self.nursery.farm.same_ground(nursery.farm) or before.outages != now.outages:
            return {}
        plans = {id(plan.lot): plan for plan in self.plans}
        if not (taught := taught_otherwise(before.trials, now.trials)):
            return plans
        kin = {_kin(batch) for batch in nursery.farm.batches if batch.id in taught}  # kindred plants learn from it
        return {
            key: replace(plan, track=nursery.track) if _kin(plan.batch) in kin else plan for key, plan in plans.items()
        }

    def to_plan(self, nursery: Nursery, today: date) -> int:
        """How many lots are to be planned anew there on that day."""
        made = self.still(nursery, today)
        return sum(id(lot) not in made for lot in nursery.records.lots if lot.given_up is None)


def _kin(batch: Batch) -> tuple[str, str]:
    return batch.protocol.species.partition(" ")[0], batch.protocol.method


def plan_all(
    nursery: Nursery, today: date, before: Day | None = None, tell: Callable[[int, int], None] | None = None
) -> tuple[Plan, ...]:
    """The plans of every lot that still goes on. With those made `before` the same, and sooner.

    How many of how many lots are planned goes to `tell`.
    """
    made = before.still(nursery, today) if before is not None else {}
    lots = [lot for lot in nursery.records.lots if lot.given_up is None]
    plans = []
    for n, lot in enumerate(lots):
        if tell is not None:
            tell(n, len(lots))
        try:
            plans.append(made.get(id(lot)) or plan_lot(nursery, lot, today))
        except ChainFault:
            continue  # told by `faults`
    return tuple(plans)


def day_of(
    nursery: Nursery, today: date, before: Day | None = None, tell: Callable[[int, int], None] | None = None
) -> Day:
    """A farm on a day, its lots planned for it as `plan_all` does."""
    return Day(nursery, plan_all(nursery, today, before, tell), today)


def _passed_over(chain: Chain, lot: Lot) -> frozenset[str]:
    """Undone acts that come before one that was done."""
    steps = chain.protocol.steps
    over: set[str] = set()
    for k, step in enumerate(steps):
        if step.do in lot.done:
            over.update(steps[i].do for i in chain.precedes(k) if steps[i].do not in lot.done)
    return frozenset(over)
