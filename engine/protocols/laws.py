"""What the law of a region says of a plant, told where it holds and nowhere else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from pathlib import Path

import tomli

from engine.protocols import LIBRARY
from engine.protocols.model import Species
from engine.reading.frozen import dataclass, replace
from engine.reading.said import in_words

ANY = "any"


@dataclass(frozen=True, slots=True)
class Law:
    """A rule of some regions on some plants (Latin names, genera, or any), and who says so."""

    regions: tuple[str, ...]
    plants: tuple[str, ...]
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class Laws:
    """All that are known, the names of their regions, and the members of those that are unions."""

    laws: tuple[Law, ...]
    names: Mapping[str, str]
    members: Mapping[str, Sequence[str]]


@lru_cache(maxsize=1)
def read_laws(folder: Path = LIBRARY) -> Laws:
    """The library's laws."""
    told = tomli.loads((folder / "laws.toml").read_text(encoding="utf-8"))
    laws = tuple(Law(tuple(t["regions"]), tuple(t["plants"]), t["says"], t["source"]) for t in told["law"])
    return Laws(laws, told["names"], told["members"])


def holds(law: Law, region: str, members: Mapping[str, Sequence[str]]) -> bool:
    """Whether it is law in a region. A country whose part is not known is taken to be in each of its parts."""
    country = region.partition("-")[0]
    for one in law.regions:
        if one in (region, country) or country in members.get(one, ()):
            return True
        if region == country and one.partition("-")[0] == country:
            return True
    return False


def lawful(species: Species, region: str) -> Species:
    """The species with the laws of its region among its cautions; no region: with all of them, each with its name."""
    known, names = read_laws(), {species.latin, species.latin.split()[0]}
    here: list[str] = []
    for law in known.laws:
        if names.isdisjoint(law.plants):
            continue
        if not region:
            named = [known.names[one] for one in law.regions]
            here.append(f"{in_words(named)}: {law.says}")
        elif holds(law, region, known.members):
            here.append(law.says)
    return replace(species, cautions=(*species.cautions, *here)) if here else species


def laws_on_sending(region: str) -> tuple[str, ...]:
    """What the law of a region says of whatever plant is sold or sent."""
    known = read_laws()
    return tuple(law.says for law in known.laws if ANY in law.plants and region and holds(law, region, known.members))
