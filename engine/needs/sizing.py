"""How many to start of a species by one way: what stands behind each share, and what more or less sureness takes."""

from __future__ import annotations

from engine.farm.protocols import NoProtocol, protocol_of, routes_of
from engine.farm.stock import SURENESSES, Need
from engine.needs.prospect import prospect_of
from engine.needs.ways import Way, ways
from engine.odds.rates import Learned
from engine.reading.frozen import dataclass, replace
from engine.schedule.plan import Day


@dataclass(frozen=True, slots=True)
class Sizing:
    """A start by one way for `want` plants, as surely as `sure` (0 to 1)."""

    way: Way
    want: int
    sure: float
    steps: tuple[tuple[str, Learned], ...]
    """Each step that loses plants, with its share and what that rests on, the first first."""
    others: tuple[tuple[float, int], ...]
    """What other surenesses take; those that no number of starts reaches are left out."""


def sizing(day: Day, need: Need, method: str, route: str) -> Sizing:
    """The start for a need (its species by its Latin name) by a method and route.

    Raises NoProtocol, also where several serve.
    """
    farm, species = day.nursery.farm, need.species
    protocol = protocol_of(farm, species, method, route)
    if not route and (several := routes_of(farm, species, protocol.method)):
        told = f"{species} by {protocol.method} has several routes"
        raise NoProtocol("route", told, f"say which: {', or '.join(several)}")

    def at(level: float) -> Way:
        every = ways(day, replace(need, sure=level))
        same = (w for w in every if (w.protocol.method, w.protocol.route) == (protocol.method, protocol.route))
        if (way := next(same, None)) is None:
            told = f"no way to raise {farm.plant(species)} by {protocol.method} is known"
            raise NoProtocol("method", told, "write a [[protocol]] of your own with its steps")
        return way

    prospect = prospect_of(day.nursery, protocol, need.cultivar, None, need.by, day.today, day.nursery.track)
    steps = tuple((protocol.steps[k].do, learned) for k, learned in prospect.shares.learned)
    found = {level: at(level) for level in (need.sure, *SURENESSES)}
    others = tuple((level, way.takes) for level, way in found.items() if level != need.sure and way.reaches(level))
    return Sizing(found[need.sure], need.count, need.sure, steps, others)
