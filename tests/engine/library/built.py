"""Every protocol of the library, built once and shared by the tests beside this file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from engine.almanac.almanac import Almanac, Site
from engine.almanac.frost import FrostDates, FrostPoint
from engine.protocols.library import Library, read_library
from engine.protocols.model import Protocol, Species, Step
from engine.protocols.reading import Draft

MonthDay = tuple[int, int]

PLACES = frozenset(
    {"cold store", "warm shelf", "propagation bench", "mist bench", "grafting bench", "cold frame"}
    | {"seed beds", "nursery beds", "stool beds", "stock beds", "potting shed", "standing ground"}
)


@dataclass(frozen=True, slots=True)
class Built:
    """A protocol as a farm would follow it; `species` is None for a general method."""

    species: Species | None
    draft: Draft
    protocol: Protocol

    @property
    def title(self) -> str:
        return self.draft.titled(self.draft.method)

    def steps(self) -> Iterator[tuple[str, Step]]:
        for step in self.protocol.steps:
            yield f"{self.title}: {step.do}", step


@lru_cache(maxsize=1)
def library() -> Library:
    return read_library()


@lru_cache(maxsize=1)
def built() -> tuple[Built, ...]:
    """All protocols: the general methods, then the species'."""
    lib = library()
    drafts = (*lib.methods.values(), *lib.drafts)
    return tuple(Built(lib.species.get(d.species), d, lib.protocol(d)) for d in drafts)


def of_species() -> tuple[Built, ...]:
    return tuple(b for b in built() if b.species is not None)


@lru_cache(maxsize=1)
def timed() -> tuple[Built, ...]:
    """One of each of those whose dates are the same at any site: by the same marks, windows, waits and spans."""

    def time(step: Step) -> tuple[object, ...]:
        return step.do, step.windows, step.best_until, step.after, step.wait, step.lasts, step.best, step.aim

    alike: dict[tuple[object, ...], Built] = {}
    for one in built():
        marks = repr(sorted(one.species.marks.items())) if one.species else ""
        alike.setdefault((marks, tuple(map(time, one.protocol.steps))), one)
    return tuple(alike.values())


def named(species: str) -> tuple[Built, ...]:
    """The protocols of a species, or of every species of a genus."""
    return tuple(b for b in of_species() if b.draft.species == species or b.draft.species.split()[0] == species)


def frost(spring: bool, *points: tuple[float, MonthDay]) -> FrostDates:
    return FrostDates(spring, tuple(FrostPoint(chance, *day) for chance, day in points))


def almanac(latitude: float, zone: str, longitude: float, last: tuple[MonthDay, MonthDay],
            first: tuple[MonthDay, MonthDay]) -> Almanac:  # fmt: skip
    """A site by its last frost at 90 and 10 % and its first frost at 10 and 90 %."""
    springs = frost(True, (0.9, last[0]), (0.1, last[1]))
    autumns = frost(False, (0.1, first[0]), (0.9, first[1]))
    return Almanac(Site(latitude, longitude, zone, 0.0, springs, autumns))
