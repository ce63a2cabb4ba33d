"""The ways in which a species can be raised, side by side, for a batch that is being thought of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from engine.farm.model import Farm
from engine.farm.protocols import ways_of
from engine.needs.coming import SURE
from engine.needs.prospect import Prospect, prospect_of
from engine.needs.stays_and_losses import losses_of
from engine.needs.stock_plants import left_of
from engine.odds.lots_to_come import stands
from engine.odds.promise import expected
from engine.odds.starts import surely
from engine.protocols.forms import said_takes
from engine.protocols.library import species_names
from engine.protocols.model import Protocol, Species
from engine.protocols.names import one_letter_off, plain
from engine.reading.frozen import dataclass, replace
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, Plan
from engine.schedule.room import Held, all_held, overfull, say_room


@dataclass(frozen=True, slots=True)
class Preview:
    """A batch of so many that is being thought of, by one method and route: what it would give, and what it takes."""

    prospect: Prospect
    count: int
    likely: int
    """How many are expected to come through, whole lots lost in some years counted."""
    sure: int
    """So many or more come through with chance SURE, that counted too."""
    material: str
    """What is cut, sown or divided, one for each of the batch."""
    left: int | None
    """What the stock plants have left of it in the year of the first act; None where none are kept."""
    room: tuple[Held, ...] = ()
    """What it takes of each place, from when to when."""
    overfull: tuple[str, ...] = ()
    """The places that it would overfill, in words."""
    units: str = "metric"
    """Those of the farm, for words about it."""

    @property
    def protocol(self) -> Protocol:
        """The protocol that it would follow."""
        return self.prospect.protocol

    @property
    def title(self) -> str:
        """The method and, where it has several, the route."""
        route = self.protocol.route
        return f"{self.protocol.method}, {route}" if route else self.protocol.method

    @property
    def step(self) -> str:
        """The first act."""
        return self.prospect.first[0] if self.prospect.first else ""

    @property
    def first(self) -> date | None:
        """The day at which its first act aims; None where no year fits."""
        return self.prospect.first[1] if self.prospect.first else None

    @property
    def ready(self) -> date | None:
        """When all of it is done; None where no year fits."""
        return self.prospect.ready

    @property
    def share(self) -> float:
        """The share that comes through all acts, 0 to 1, by the book and the grower's own results."""
        return self.prospect.shares.share

    @property
    def hours(self) -> float | None:
        """None where no act has a rate."""
        return self.prospect.hours(self.count)

    @property
    def runs(self) -> tuple[int, int]:
        """Between which counts it comes out in nine batches of ten, where it is not lost whole."""
        rates = self.prospect.shares.rates
        return surely(self.count, rates, 0.95), surely(self.count, rates, 0.05)

    @property
    def troubles(self) -> tuple[str, ...]:
        """What does not fit, in words."""
        return self.prospect.troubles

    def says(self) -> tuple[str, ...]:
        """In words: what comes through and what stands behind that; what it takes of room and the stock plants."""
        told = [self.prospect.shares.says()]
        if self.prospect.shares.learned:
            low, high = self.runs
            told[0] += f". Of {self.count:,}, {low:,} to {high:,} come through nine times in ten"
        if self.left is not None and self.first is not None:
            enough = "" if self.left >= self.count else ": too few"
            year = self.first.year
            takes = f"takes {self.count:,} {said_takes(self.protocol)}"
            told.append(f"{takes}; stock plants have {self.left:,} left in {year}{enough}")
        if room := say_room(self.room, self.units):
            told.append(room)
        return tuple(told)


def ways_view(
    day: Day, species: Species, cultivar: str, count: int, start: date | None, ready: date | None
) -> tuple[Preview, ...]:
    """Every method and route that the species allows, for so many from a start or by a day; what fits first."""
    nursery, plans, today = day
    farm, track = nursery.farm, nursery.track
    if species.latin not in farm.species:
        farm = replace(farm, species={**farm.species, species.latin: species}, base=farm.written)
        nursery = open_nursery(farm, replace(nursery.records, farm=farm), nursery)
    ways, held = [], all_held(farm, plans, today)
    for protocol in ways_of(farm, species.latin):
        prospect = prospect_of(nursery, protocol, cultivar, start, ready, today, track)
        ways.append(_preview(farm, prospect, cultivar, count, plans, held))
    return tuple(sorted(ways, key=lambda way: way.first is None))


def _preview(
    farm: Farm,
    prospect: Prospect,
    cultivar: str,
    count: int,
    plans: Sequence[Plan],
    held: Mapping[tuple[str, str], Sequence[Held]],
) -> Preview:
    losses, protocol, first = losses_of(farm), prospect.protocol, prospect.first
    rates = prospect.shares.rates
    level = SURE / stands(prospect.stays, losses)
    material, room = protocol.takes, prospect.room(count)
    return Preview(
        prospect,
        count,
        round(expected((prospect.lot(count),), losses)),
        surely(count, rates, level) if level < 1 else 0,
        material,
        left_of(farm, plans, protocol.species, cultivar, material, first[1].year) if first else None,
        room,
        overfull(farm, held, room),
        farm.units,
    )


@dataclass(frozen=True, slots=True)
class Named:
    """A species that a text may mean: the name that matches it best, and the Latin one."""

    name: str
    latin: str


def names_like(farm: Farm, words: str, most: int) -> tuple[Named, ...]:
    """The species that a text may mean, best first: the whole name, its beginning, a word's, a part, a slip."""
    wanted = plain(words)
    if not wanted:
        return ()
    known = {names[0]: names for names in species_names()}
    known |= {latin: (latin, *s.common) for latin, s in farm.species.items()}
    known |= {d.species: (d.species,) for d in farm.own if d.species and d.species not in known}
    found: list[tuple[int, int, str, str]] = []
    for latin, names in known.items():
        ranks = [(rank, n) for n, name in enumerate(names) if (rank := _rank(wanted, plain(name))) is not None]
        if ranks:
            rank, n = min(ranks)
            found.append((rank, n, names[n], latin))
    return tuple(Named(name, latin) for _, _, name, latin in sorted(found)[:most])


def _rank(wanted: str, name: str) -> int | None:
    if name == wanted:
        return 0
    if name.startswith(wanted):
        return 1
    if any(word.startswith(wanted) for word in name.split()):
        return 2
    if wanted in name:
        return 3
    return 4 if len(wanted) > 3 and any(one_letter_off(wanted, word) for word in (name, *name.split())) else None
