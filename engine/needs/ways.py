"""For so many of a plant by a day: every method and route side by side, and a need spread over two of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import lru_cache
from itertools import combinations

from engine.almanac.almanac import date_of, say_day
from engine.farm.model import Farm
from engine.farm.protocols import ways_of
from engine.farm.stock import Need
from engine.needs.costs import Cost, Costing, seed_kg
from engine.needs.prospect import prospect_of
from engine.needs.stays_and_losses import losses_of, say_loss
from engine.needs.stock_plants import left_of
from engine.odds.lots_to_come import Coming, stands
from engine.odds.rates import Rate
from engine.odds.spread import Spread, fewest, in_two, weigh
from engine.odds.starts import Start, TooUnsure, start
from engine.protocols.forms import SEED, meets_form, plural
from engine.protocols.model import Protocol
from engine.reading.frozen import dataclass, field, replace
from engine.reading.said import percent
from engine.schedule.plan import Day
from engine.schedule.room import Held, all_held, overfull
from engine.schedule.slips_and_collisions import SOONEST, begin_by

__all__ = ["Split", "Way", "lean_splits", "losses_of", "say_start", "splits", "ways"]

SUREST = 0.99
"""More starts make up for the chance that a place loses the lot, up to this sureness of the rest; then a second lot."""
PAIRS_OF = 3
"""So many ways, the best of them, are tried in pairs."""


@dataclass(frozen=True, slots=True)
class Way:
    """One method and route for a need. Where `reason` says why it cannot be, the rest is left empty.

    `takes` counts what is cut, sown, divided or bought at the start, of the material named; `gives` is what the stock
    plants have left of it in that year (None: none are kept). `chance` (0 to 1) that enough come counts the loss of the
    whole lot in every place where it stands.
    """

    protocol: Protocol
    form: str
    reason: str = ""
    begin_by: date | None = None
    """Where it is too late for it: the last day on which it could have been begun."""
    first_step: str = ""
    start_from: date | None = None
    start_by: date | None = None
    """The last day on which the first act meets the need; None where no day was asked for."""
    ready: date | None = None
    starts: Start | None = None
    chance: float = 0.0
    hours: float | None = None
    """None where no act has a rate."""
    takes: int = 0
    material: str = ""
    gives: int | None = None
    seed_kg: float | None = None
    lot: Coming | None = None
    notes: tuple[str, ...] = ()
    room: tuple[Held, ...] = ()
    """What it takes of each place, from when to when."""
    overfull: tuple[str, ...] = ()
    """The places that it would overfill, in words."""
    costing: Costing | None = field(default=None, compare=False, repr=False)
    units: str = "metric"
    """Those of the farm, for words about it."""

    @property
    def cost(self) -> Cost | None:
        """What is bought for it and its hours; None where the farm gives no prices."""
        return None if self.costing is None else self.costing.cost(self.takes)

    def reaches(self, sure: float) -> bool:
        """Whether it gives enough with that sureness, 0 to 1, whole lots lost counted."""
        return self.starts is not None and self.chance >= sure - 1e-9

    @property
    def title(self) -> str:
        """The method and, where it has several, the route."""
        return f"{self.protocol.method}, {self.protocol.route}" if self.protocol.route else self.protocol.method


@dataclass(frozen=True, slots=True)
class Split:
    """A need over two ways, half of it by each. `lean`: only as many as it takes."""

    one: Way
    other: Way
    spread: Spread
    lean: bool = False

    @property
    def parts(self) -> tuple[tuple[Way, int], ...]:
        """Each way with how many are started by it."""
        one, two = self.spread.two.lots
        return (self.one, one.count), (self.other, two.count)

    @property
    def chance(self) -> float:
        """The chance, 0 to 1, that both together give enough."""
        return 1 - self.spread.two.short

    @property
    def hours(self) -> float | None:
        """The hours of both, in proportion to what is started by each; None where no act of one has a rate."""
        told = [None if way.hours is None else way.hours * count / max(1, way.takes) for way, count in self.parts]
        return None if None in told else sum(each for each in told if each is not None)

    @property
    def title(self) -> str:
        """Both ways by name."""
        return f"{self.one.title} + {self.other.title}"

    @property
    def cost(self) -> Cost | None:
        """What both batches cost; None where the farm gives no prices."""
        first, second = (lot.count for lot in self.spread.two.lots)
        if self.one.costing is None or self.other.costing is None:
            return None
        return self.one.costing.cost(first) + self.other.costing.after(self.one.costing, first).cost(second)


def ways(day: Day, need: Need) -> tuple[Way, ...]:
    """Every way to raise what is needed, by its day (None: whenever); those that can be first, by hours, unknown last.

    They are sized for plants that can be sold: how many of those will be of a `grade` nobody knows before they are
    sorted, and each way says so.
    """
    if need.count <= 0:
        return ()
    farm = day.nursery.farm
    held = all_held(farm, day.plans, day.today)
    found = [_way(day, need, protocol, held) for protocol in ways_of(farm, need.species)]
    if need.grade:
        told = f'counted as any that can be sold: how many are "{need.grade}" is known once they are graded'
        found = [way if way.reason else replace(way, notes=(*way.notes, told)) for way in found]
    found.sort(key=lambda way: (bool(way.reason), way.hours is None, way.hours or 0.0, way.title))
    return tuple(found)


def splits(want: int, found: Sequence[Way], losses: Mapping[str, float]) -> tuple[Split, ...]:
    """The best ways in pairs, the least chance of falling short first.

    A way is not paired with itself: two sowings of one seed lot, in one place on one day, have one share in common.
    """
    lots = [(way, way.lot) for way in found if not way.reason and way.lot is not None][:PAIRS_OF]
    pairs = [
        Split(one, other, in_two(want, lot, second, losses))
        for (one, lot), (other, second) in combinations(lots, 2)
        if lot.count > 1
    ]
    pairs = [pair for pair in pairs if all(lot.count for lot in pair.spread.two.lots)]
    return tuple(sorted(pairs, key=lambda pair: pair.spread.two.short))


def lean_splits(want: int, pairs: Iterable[Split], losses: Mapping[str, float], sure: float) -> tuple[Split, ...]:
    """Of the pairs, those that are as sure with fewer starts than all in one, cut down to the fewest; those first."""
    found = []
    for pair in pairs:
        one, two = pair.spread.two.lots
        least = fewest(want, (one, two), losses, sure)
        if least is not None and sum(lot.count for lot in least.lots) < min(pair.one.takes, pair.other.takes):
            found.append(Split(pair.one, pair.other, Spread(pair.spread.one, least), lean=True))
    return tuple(sorted(found, key=lambda pair: sum(lot.count for lot in pair.spread.two.lots)))


def sure_splits(want: int, found: Iterable[Way], losses: Mapping[str, float], sure: float) -> tuple[Split, ...]:
    """Pairs of ways that together are as sure as asked where neither alone is, cut down to the fewest starts.

    A place that may lose a whole lot caps how sure one lot can be: a second one elsewhere makes up for it.
    """
    lots = [(way, way.lot) for way in found if not way.reason and way.lot is not None][:PAIRS_OF]
    pairs = []
    for (one, first), (other, second) in combinations(lots, 2):
        least = fewest(want, (first, second), losses, sure)
        if least is not None and all(lot.count for lot in least.lots):
            pairs.append(Split(one, other, Spread(weigh(want, (first,), losses), least), lean=True))
    return tuple(sorted(pairs, key=lambda pair: sum(lot.count for lot in pair.spread.two.lots)))


def _way(day: Day, need: Need, protocol: Protocol, held: Mapping[tuple[str, str], Sequence[Held]]) -> Way:
    nursery, plans, today = day
    farm, cultivar, by, sure = nursery.farm, need.cultivar, need.by, need.sure
    found = prospect_of(nursery, protocol, cultivar, None, by, today, nursery.track)  # as late as the need allows
    if reason := unfit(farm, protocol, cultivar, need.form, found.form):
        return Way(protocol, found.form, reason)
    plan, ready, first = found.plan, found.ready, found.first
    if plan is None or first is None or ready is None or (by is not None and ready > by):
        reason = found.troubles[0].removesuffix(SOONEST) if found.troubles else "no year fits"
        last = None if plan is None or by is None else begin_by(plan.chain, by.toordinal(), {})
        return Way(protocol, found.form, reason, begin_by=date_of(last))
    losses = losses_of(farm)
    stays = found.lot(1).until(0 if by is None else (by - today).days).stays  # ready is not safe: until it goes out
    stood = stands(stays, losses)
    level = max(sure, min(sure / stood, SUREST))
    notes = []
    if level * stood < sure - 1e-9:
        where = min(stays, key=lambda stay: stands((stay,), losses)).place
        notes.append(f"{where} may lose the whole lot: with one lot the chance is at most {percent(stood)}")
    learned = {place.name: place for place in farm.places if place.losses_seen}
    notes += [say_loss(learned[name]) for name in dict.fromkeys(stay.place for stay in stays) if name in learned]
    try:
        starts = _start(need.count, found.shares.rates, level)
    except TooUnsure:
        return Way(protocol, found.form, f"no start is large enough for a {percent(sure)} chance of {need.count}")
    latest = [(day, k) for k, day in enumerate(plan.now.latest) if day is not None] if by is not None else []
    earliest = [day for day in plan.now.earliest if day is not None]
    start_by = date.fromordinal(min(latest)[0]) if latest else None
    material, room = protocol.takes, found.room(starts.count)
    year = (start_by or first[1]).year
    left = left_of(farm, plans, protocol.species, cultivar, material, year)
    return Way(
        protocol=protocol,
        form=found.form,
        first_step=protocol.steps[min(latest)[1]].do if latest else first[0],
        start_from=date.fromordinal(min(earliest)) if earliest else None,
        start_by=start_by,
        ready=ready,
        starts=starts,
        chance=starts.sure * stood,
        hours=found.hours(starts.count),
        takes=starts.count,
        material=material,
        gives=left,
        seed_kg=seed_kg(farm, protocol.species, starts.count) if protocol.takes == SEED else None,
        lot=replace(found.lot(starts.count), stays=stays, waits=None),
        notes=(*notes, *_besides(protocol, starts.count)),
        room=room,
        overfull=overfull(farm, held, room),
        costing=Costing(farm, found, material, left, year) if farm.prices else None,
        units=farm.units,
    )


def unfit(farm: Farm, protocol: Protocol, cultivar: str, form: str, ends_as: str) -> str:
    """Why a way cannot give what is asked, whatever the dates; or nothing."""
    if form and not meets_form(form, ends_as):
        return f"it gives {plural(ends_as)}, not {plural(form)}"
    if cultivar and protocol.takes == SEED:
        own = any(
            (b.species, b.cultivar, b.protocol.takes) == (protocol.species, cultivar, SEED) for b in farm.batches
        )  # a grower who raises it so knows it for a strain that comes true enough
        if not own:
            return f"seedlings are not {cultivar}"
    return ""


@lru_cache(maxsize=8192)
def _start(count: int, rates: tuple[Rate, ...], sure: float) -> Start:
    return start(count, rates, sure)


def _besides(protocol: Protocol, count: int) -> tuple[str, ...]:
    return (f"takes {count} {protocol.onto} too",) if protocol.onto else ()


def say_start(way: Way) -> str:
    """`collect by 12 Mar 2027`: the first act, and its last day."""
    if way.start_by is None:
        return f"{way.first_step} from {say_day(way.start_from.toordinal(), True)}" if way.start_from else ""
    return f"{way.first_step} by {say_day(way.start_by.toordinal(), True)}"
