"""The ways in which a species can be raised, side by side, for a batch that is being thought of."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from math import prod

from engine.farm.model import Batch, Farm
from engine.farm.protocols import ways_of
from engine.journal.records import Lot
from engine.protocols.library import species_names
from engine.protocols.model import Protocol, Species
from engine.protocols.names import one_letter_off, plain
from engine.schedule.chain import ChainFault
from engine.schedule.plan import Nursery, hours_for, open_nursery, plan_lot


@dataclass(frozen=True, slots=True)
class Way:
    """A method and route for a batch: its first act, when it is ready, how many come through, hours, what is amiss."""

    protocol: Protocol
    step: str
    first: date | None
    ready: date | None
    share: float
    """The share that comes through all acts (0 to 1), by the figures of the protocol."""
    count: int
    """How many of the batch that is."""
    hours: float | None
    """None where no act has a rate."""
    troubles: tuple[str, ...]

    @property
    def title(self) -> str:
        route = self.protocol.route
        return f"{self.protocol.method}, {route}" if route else self.protocol.method


def ways_view(
    nursery: Nursery, species: Species, count: int, start: date | None, ready: date | None, today: date
) -> tuple[Way, ...]:
    """Every method and route that the species allows, for so many from a start or by a day; what fits first."""
    farm = nursery.farm
    if species.latin not in farm.species:
        farm = replace(farm, species={**farm.species, species.latin: species}, base=farm.written)
        nursery = open_nursery(farm, replace(nursery.records, farm=farm), nursery)
    if start is None and ready is None:
        start = today
    ways = [_way(nursery, protocol, count, start, ready, today) for protocol in ways_of(farm, species.latin)]
    return tuple(sorted(ways, key=lambda way: way.first is None))


def _way(nursery: Nursery, protocol: Protocol, count: int, start: date | None, ready: date | None, today: date) -> Way:
    share = prod(step.survive for step in protocol.steps if step.survive is not None)
    batch = Batch("new", protocol.species, "", protocol.method, count, start, ready, protocol, index=-1)
    try:
        plan = plan_lot(nursery, Lot("new", batch, count), today)
    except ChainFault as fault:
        return Way(protocol, "", None, None, share, round(count * share), None, (str(fault),))
    hours = [h for k in range(len(plan.chain.spans)) if (h := hours_for(plan, k)) is not None]
    first = min(((aim, k) for k, aim in enumerate(plan.now.aims) if aim is not None), default=None)
    end = plan.now.ready(plan.chain)
    return Way(
        protocol,
        plan.step(first[1]).do if first else "",
        date.fromordinal(first[0]) if first else None,
        None if end is None else date.fromordinal(end),
        share,
        round(count * share),
        sum(hours) if hours else None,
        plan.now.problems,
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
