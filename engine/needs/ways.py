"""For so many of a plant by a day: every method and route side by side, and a need spread over two of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import combinations_with_replacement

from engine.almanac.almanac import say_day
from engine.farm.model import Farm
from engine.farm.protocols import ways_of
from engine.needs.rates import Track, learned_for, track_of
from engine.odds.promise import YEAR_DAYS, Coming
from engine.odds.rates import Rate
from engine.odds.spread import Spread, in_two
from engine.odds.starts import Start, TooUnsure, start
from engine.protocols.model import Protocol
from engine.schedule.chain import Chain, ChainFault
from engine.schedule.placing import Placement, place
from engine.schedule.plan import Nursery, Plan
from engine.schedule.wish import Wish
from engine.stock.forms import GRAFTS, form_after
from engine.views.stock import meets_form
from engine.views.stock_plants import material_of, stock_plant_lines

SUREST = 0.99
"""More starts make up for the chance that a place loses the lot, up to this sureness of the rest; then a second lot."""
PAIRS_OF = 3
"""So many ways, the best of them, are tried in pairs."""


@dataclass(frozen=True, slots=True)
class Way:
    """One method and route for a need. Where `reason` says why it cannot be, the rest is left empty.

    `takes` counts what is cut, sown, divided or bought at the start, of the material named; `gives` is what the stock
    plants have left of it in that year (None: none are kept). `chance` (0 to 1) that enough come counts the loss of the
    whole lot in the place where it stands longest at risk.
    """

    protocol: Protocol
    form: str
    reason: str = ""
    first_step: str = ""
    start_from: date | None = None
    start_by: date | None = None
    """The last day on which the first act meets the need; None where no day was asked for."""
    ready: date | None = None
    starts: Start | None = None
    chance: float = 0.0
    hours: float = 0.0
    takes: int = 0
    material: str = ""
    gives: int | None = None
    seed_kg: float | None = None
    lot: Coming | None = None
    notes: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        return f"{self.protocol.method}, {self.protocol.route}" if self.protocol.route else self.protocol.method


@dataclass(frozen=True, slots=True)
class Split:
    """A need over two ways, half of it by each; or over two batches by one way."""

    one: Way
    other: Way
    spread: Spread


def losses_of(farm: Farm) -> dict[str, float]:
    """The chance in a year, 0 to below 1, that a place loses whatever stands in it."""
    return {p.name: min(p.lot_loss_per_year, 0.999) for p in farm.places if p.lot_loss_per_year}


def ways(
    nursery: Nursery,
    plans: Sequence[Plan],
    today: date,
    species: str,
    cultivar: str,
    count: int,
    by: date | None,
    sure: float,
    form: str = "",
) -> tuple[Way, ...]:
    """Every way to raise so many by a day (None: whenever), those that can be done first, the fewest hours first."""
    if count <= 0:
        return ()
    track = track_of(nursery.records)
    found = [
        _way(nursery, plans, today, protocol, cultivar, count, by, sure, form, track)
        for protocol in ways_of(nursery.farm, species)
    ]
    found.sort(key=lambda way: (bool(way.reason), way.hours, way.title))
    return tuple(found)


def splits(want: int, found: Sequence[Way], losses: Mapping[str, float]) -> tuple[Split, ...]:
    """The best ways in pairs, each also with itself, the least chance of falling short first."""
    lots = [(way, way.lot) for way in found if not way.reason and way.lot is not None][:PAIRS_OF]
    pairs = [
        Split(one, other, in_two(want, lot, second, losses))
        for (one, lot), (other, second) in combinations_with_replacement(lots, 2)
        if lot.count > 1
    ]
    return tuple(sorted(pairs, key=lambda pair: pair.spread.two.short))


def _way(
    nursery: Nursery,
    plans: Sequence[Plan],
    today: date,
    protocol: Protocol,
    cultivar: str,
    count: int,
    by: date | None,
    sure: float,
    form: str,
    track: Track,
) -> Way:
    ends_as = ""
    for step in protocol.steps:
        ends_as = form_after(step.do, protocol.method, ends_as)
    if reason := _unfit(nursery.farm, protocol, cultivar, form, ends_as):
        return Way(protocol, ends_as, reason)
    try:
        chain = nursery.chain(protocol)
    except ChainFault as fault:
        return Way(protocol, ends_as, str(fault))
    wish = Wish(ready=None if by is None else by.toordinal(), floor=today.toordinal())
    placed = place(chain, wish)  # as late as the need allows
    ordinal = placed.ready(chain)
    if not placed.fits or ordinal is None or (by is not None and ordinal > by.toordinal()):
        return Way(protocol, ends_as, placed.problems[0] if placed.problems else "no year fits")
    ready = date.fromordinal(ordinal)
    shares = {k: learned_for(track, protocol, cultivar, step) for k, step in enumerate(protocol.steps)}
    rates = tuple(found.rate for k in chain.order if (found := shares[k]) is not None)
    where, days = _at_risk(nursery.farm, protocol, chain, placed)
    losses = losses_of(nursery.farm)
    stands = (1 - losses.get(where, 0.0)) ** (days / YEAR_DAYS)
    level = max(sure, min(sure / stands, SUREST))
    notes = []
    if level * stands < sure - 1e-9:
        notes.append(f"{where} may lose it whole: in one lot no start is surer than {stands:.0%}")
    try:
        starts = _start(count, rates, level)
    except TooUnsure:
        return Way(protocol, ends_as, f"no number of starts is {sure:.0%} sure of {count}")
    lot = Coming(starts.count, rates, where, days)
    firsts = [k for k in chain.order if placed.aims[k] is not None]
    latest = [(day, k) for k in firsts if (day := placed.latest[k]) is not None] if by is not None else []
    earliest = [(day, k) for k in firsts if (day := placed.earliest[k]) is not None]
    start_by, first = min(latest) if latest else (None, min((placed.aims[k] or 0, k) for k in firsts)[1])
    year = date.fromordinal(start_by if start_by is not None else placed.aims[first] or 0).year
    material = material_of(protocol.method)
    return Way(
        protocol=protocol,
        form=ends_as,
        first_step=protocol.steps[first].do,
        start_from=date.fromordinal(min(earliest)[0]) if earliest else None,
        start_by=None if start_by is None else date.fromordinal(start_by),
        ready=ready,
        starts=starts,
        chance=starts.sure * stands,
        hours=_hours(protocol, chain, starts.count, {k: f.rate.mean for k, f in shares.items() if f is not None}),
        takes=starts.count,
        material=material,
        gives=_left(nursery.farm, plans, protocol.species, cultivar, material, year),
        seed_kg=_seed_kg(nursery.farm, protocol, starts.count),
        lot=lot,
        notes=(*notes, *_besides(protocol, starts.count)),
    )


def _unfit(farm: Farm, protocol: Protocol, cultivar: str, form: str, ends_as: str) -> str:
    """Why a way cannot give what is asked, whatever the dates; or nothing."""
    if form and not meets_form(form, ends_as):
        return f"it gives {ends_as}, not {form}"
    if cultivar and protocol.method == "seed":
        own = any(
            (b.species, b.cultivar, b.method) == (protocol.species, cultivar, "seed") for b in farm.batches
        )  # a grower who raises it so knows it for a strain that comes true enough
        if not own:
            return f"seedlings are not {cultivar}"
    return ""


@lru_cache(maxsize=8192)
def _start(count: int, rates: tuple[Rate, ...], sure: float) -> Start:
    return start(count, rates, sure)


def _at_risk(farm: Farm, protocol: Protocol, chain: Chain, placed: Placement) -> tuple[str, float]:
    """The place where a lot is likeliest to be lost whole, and how many days it stands there."""
    losses, days = losses_of(farm), dict[str, float]()
    aims = sorted((aim, chain.order.index(k), k) for k in chain.order if (aim := placed.aims[k]) is not None)
    ready = placed.ready(chain) or 0
    for n, (aim, _, k) in enumerate(aims):
        where = farm.place_for(protocol.steps[k].place)
        until = aims[n + 1][0] if n + 1 < len(aims) else ready
        days[where] = days.get(where, 0.0) + until - aim
    risk = [((1 - losses.get(where, 0.0)) ** (stay / YEAR_DAYS), where, stay) for where, stay in days.items()]
    _, where, stay = min(risk)
    return where, stay


def _hours(protocol: Protocol, chain: Chain, count: int, shares: Mapping[int, float]) -> float:
    """Hours for all acts that a rate is known of, each for as many as are expected to be left by then."""
    hours = 0.0
    for k in chain.order:
        left = float(count)
        for i in chain.precedes(k):
            left *= shares.get(i, 1.0)
        if rate := protocol.steps[k].per_hour:
            hours += left / rate
    return hours


def _left(farm: Farm, plans: Sequence[Plan], species: str, cultivar: str, material: str, year: int) -> int | None:
    """What the stock plants give in a year beyond what batches ask already; None where none are kept."""
    mine = [
        line
        for line in stock_plant_lines(farm, plans, (year,))
        if (line.species, line.material) == (species, material) and (not cultivar or line.cultivar == cultivar)
    ]
    return sum(max(0, int(line.gives) - line.asks) for line in mine) if mine else None


def _seed_kg(farm: Farm, protocol: Protocol, count: int) -> float | None:
    """About how heavy the seed is, by the middle of the library's figures; None where it is not seed or not known."""
    per_kg = farm.species_of(protocol.species).seeds_per_kg
    if protocol.method != "seed" or per_kg is None or per_kg[0] + per_kg[1] <= 0:
        return None
    return count / ((per_kg[0] + per_kg[1]) / 2)


def _besides(protocol: Protocol, count: int) -> tuple[str, ...]:
    return (f"takes {count} rootstocks too",) if protocol.method in GRAFTS else ()


def say_start(way: Way) -> str:
    """`collect by 12 Mar 2027`: the first act, and its last day."""
    if way.start_by is None:
        return f"{way.first_step} from {say_day(way.start_from.toordinal(), True)}" if way.start_from else ""
    return f"{way.first_step} by {say_day(way.start_by.toordinal(), True)}"
