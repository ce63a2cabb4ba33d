"""The plan of every lot on a day: what was meant, what still can be, and the state of each act."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from engine.almanac.almanac import Almanac
from engine.farm.model import Batch, Farm
from engine.protocols.model import Days, Protocol, Step
from engine.records.records import Lot, Records
from engine.schedule.chain import Chain, ChainFault, make_chain, never_opens
from engine.schedule.placing import Placement, Wish, place
from engine.schedule.treatment import Course, courses, lasting

CLOSING_DAYS = 7
COMING_DAYS = 14
STATES = ("done", "dropped", "held", "missed", "waiting", "closing", "open", "coming", "later")


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

    @property
    def batch(self) -> Batch:
        return self.lot.batch

    def index(self, do: str) -> int | None:
        return next((k for k, s in enumerate(self.chain.protocol.steps) if s.do == do), None)

    def step(self, k: int) -> Step:
        return self.chain.protocol.steps[k]

    def done(self, k: int) -> bool:
        return self.step(k).do in self.lot.done

    def missed(self, k: int, today: int) -> bool:
        """Whether act k's chance has passed undone: its latest day is over, and it, or what follows, moved on."""
        if self.done(k) or not self.meant.fits:
            return False
        last = self.meant.latest[k]
        if last is None or last >= today:
            return False
        return any((a := self.meant.spans[j]) is not None and a != self.now.spans[j] for j in self.chain.reaches(k))

    def days_over(self, k: int, today: int) -> int:
        """Days by which act k has waited longer than it should after an act done; 0 where it has not."""
        over = [
            today - since - most
            for i in self.chain.before[k]
            if self.done(i)
            and (most := self.chain.waits[i, k].most) is not None
            and (since := self.now.earliest[i]) is not None
        ]
        return max(0, *over) if over and not self.done(k) else 0

    def urged(self, k: int) -> bool:
        """Whether radicles were seen in what act k follows: it is due, window or not."""
        return not self.done(k) and any(
            self.done(i) and self.lot.radicles(self.step(i).do) is not None for i in self.chain.before[k]
        )

    def count(self, k: int) -> int:
        """How many act k has to do: what is there, less what the undone acts before it are expected to lose."""
        expected = float(self.lot.count)
        for i in self.chain.precedes(k):
            step = self.step(i)
            if not self.done(i) and step.survive is not None:
                expected *= step.survive
        return round(expected)


@dataclass(frozen=True, slots=True)
class Nursery:
    """A farm with its journal applied: almanacs by species, chains by protocol. Made anew when either changes."""

    farm: Farm
    records: Records
    almanac: Almanac
    _almanacs: dict[str, Almanac] = field(default_factory=dict)
    _chains: dict[tuple[int, str, frozenset[str], tuple[tuple[str, Days], ...]], Chain] = field(default_factory=dict)
    _kept: list[Protocol] = field(default_factory=list)

    def almanac_for(self, species: str) -> Almanac:
        """The site's dates as a species sees them."""
        if species not in self._almanacs:
            self._almanacs[species] = self.almanac.for_species(self.farm.species_of(species).marks)
        return self._almanacs[species]

    def chain(
        self, protocol: Protocol, without: frozenset[str] = frozenset(), lasts: Mapping[str, Days] | None = None
    ) -> Chain:
        """The chain of a protocol here, some steps left out and some lasting otherwise. Raises ChainFault."""
        altered = tuple(sorted((lasts or {}).items(), key=lambda item: item[0]))
        key = (id(protocol), protocol.species, without, altered)
        if key not in self._chains:
            self._kept.append(protocol)  # keeps the id from being given to another
            reduced = protocol.without(without)
            self._chains[key] = make_chain(reduced, self.almanac_for(protocol.species), lasts)
        return self._chains[key]


def open_nursery(farm: Farm, records: Records, before: Nursery | None = None) -> Nursery:
    """The farm with its records; the dates found `before` are kept where they rest on the same farm and sightings.

    The batches that the journal adds or changes are the farm's too.
    """
    farm = records.farm or farm
    if before is not None and _same_ground(farm, before) and before.records.sightings == records.sightings:
        return replace(before, farm=farm, records=records)
    return Nursery(farm, records, Almanac(farm.site, records.sightings))


def _same_ground(farm: Farm, before: Nursery) -> bool:
    """Whether both are of one farm file, and no species is known now whose dates were found when it was not."""
    if before.farm.written is not farm.written:
        return False
    known = before.farm.species
    return known is farm.species or all(latin in known for latin in before._almanacs.keys() & farm.species.keys())


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
    meant = place(chain, Wish(start, ready, accepted, done, later))
    now_day = today.toordinal()
    late = any(k not in done and day is not None and day < now_day for k, day in enumerate(meant.earliest))
    unset = any(day is None for day in meant.earliest)
    now = place(chain, Wish(start, ready, now_day, done, later)) if late or unset else meant
    if unset and not late and now.spans == meant.spans and now.fits:
        now = replace(now, aims=meant.aims)  # a batch with a day to be ready by is not drawn on from day to day
    return Plan(lot, chain, meant, now, over, treatments)


def plan_all(nursery: Nursery, today: date) -> tuple[Plan, ...]:
    """The plans of every lot that still goes on."""
    plans = []
    for lot in nursery.records.lots:
        if lot.given_up is None:
            try:
                plans.append(plan_lot(nursery, lot, today))
            except ChainFault:
                continue  # told by `faults`
    return tuple(plans)


def state(plan: Plan, k: int, today: date, hours_a_week: float | None) -> str:
    """The state of act k on a day: the first that holds of those listed in STATES."""
    step = plan.step(k)
    now_day = today.toordinal()
    if plan.done(k):
        return "done"
    if step.do in plan.lot.held:
        return "held"
    if plan.missed(k, now_day):
        return "missed"
    if any(not plan.done(i) for i in plan.chain.before[k]):
        return "waiting"
    if plan.urged(k):
        return "closing"
    earliest, last, best = plan.now.earliest[k], plan.now.latest[k], plan.now.best_until[k]
    if earliest is None:
        return "later" if plan.now.aims[k] is None or plan.now.aims[k] > now_day else "open"  # type: ignore[operator]
    if earliest <= now_day:
        if plan.days_over(k, now_day):
            return "closing"
        ends = [day for day in (last, best if best is not None and best >= now_day else None) if day is not None]
        if ends and min(ends) - now_day <= CLOSING_DAYS:
            return "closing"
        hours = hours_for(plan, k)
        if hours_a_week and hours and last is not None and hours > hours_a_week / 7 * (last - now_day + 1):
            return "closing"
        return "open"
    return "coming" if earliest - now_day <= COMING_DAYS else "later"


def hours_for(plan: Plan, k: int) -> float | None:
    """Hours that act k takes, by its rate; None where no rate is known."""
    rate = plan.step(k).per_hour
    return None if rate is None else plan.count(k) / rate


def faults(nursery: Nursery, today: date) -> list[tuple[Batch, str, str]]:
    """Batches that cannot be dated at this site for a fault of the file: (batch, step, what)."""
    found: list[tuple[Batch, str, str]] = []
    for batch in nursery.farm.batches:
        about = (batch.start or batch.ready or today).toordinal()
        try:
            chain = nursery.chain(batch.protocol)
        except ChainFault as fault:
            found.append((batch, fault.step, str(fault)))
            continue
        found += [(batch, do, reason) for do, reason in never_opens(chain, about)]
    return found


def _passed_over(chain: Chain, lot: Lot) -> frozenset[str]:
    """Undone acts that come before one that was done."""
    steps = chain.protocol.steps
    over: set[str] = set()
    for k, step in enumerate(steps):
        if step.do in lot.done:
            over.update(steps[i].do for i in chain.precedes(k) if steps[i].do not in lot.done)
    return frozenset(over)
