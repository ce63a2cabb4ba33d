"""A species as a page: its protocols side by side, dates at a site, figures with their sources, cautions."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from math import prod

from engine.almanac.almanac import Almanac
from engine.protocols.laws import lawful
from engine.protocols.library import Library, all_names, read_library
from engine.protocols.model import UNPUBLISHED, Protocol, Species
from engine.protocols.names import matches, one_letter_off, plain
from engine.reading.frozen import dataclass
from engine.records.rates import Shares, Track, shares_of
from engine.schedule.chain import make_chain
from engine.schedule.placing import Placement, place
from engine.schedule.start_and_ready import Wish


@dataclass(frozen=True, slots=True)
class ProtocolLines:
    """One protocol, and where its steps would lie for a batch started today; `placed` is None without a site."""

    protocol: Protocol
    placed: Placement | None
    starts: date | None
    ready: date | None
    share: float
    """The share that comes through all steps, by the library's figures."""
    yours: Shares | None = None
    """The same by the grower's own results too; None without a farm."""

    @property
    def title(self) -> str:
        """The method and, where it has several, the route."""
        route = self.protocol.route
        return f"{self.protocol.method}, {route}" if route else self.protocol.method


@dataclass(frozen=True, slots=True)
class SpeciesPage:
    """A species with all its protocols."""

    species: Species
    protocols: tuple[ProtocolLines, ...]

    @property
    def figures(self) -> tuple[int, int]:
        """How many figures the page gives, its own and its steps', and how many of them are published."""
        steps = [step for line in self.protocols for step in line.protocol.steps]
        told = [*self.species.source.values(), *(text for step in steps for text in step.source.values())]
        return len(told), sum(not text.startswith(UNPUBLISHED) for text in told)


def find_species(wanted: str) -> Library:
    """The part of the library whose species match a name: any case, accents aside, in part, one letter wrong.

    A name that is met exactly leaves the partial matches aside.
    """
    names = all_names()
    exact = [name for name in names if plain(name) == plain(wanted)]
    near = exact or [name for name in names if plain(wanted) in plain(name)]
    near = near or [name for name in names if _near(wanted, name)]
    return read_library(dict.fromkeys(near))


def species_pages(
    library: Library, almanac: Almanac | None, today: date, track: Track | None = None
) -> tuple[SpeciesPage, ...]:
    """The pages of all species of a library; dates are those of a batch started today at the almanac's site.

    With the grower's own results their shares stand beside the library's.
    """
    pages = []
    for species in sorted(library.species.values(), key=lambda s: s.latin):
        drafts = [d for d in library.drafts if d.species == species.latin]
        own = almanac.for_species(species.marks) if almanac else None
        lines = tuple(_lines(library.protocol(draft), own, today, track) for draft in drafts)
        region = almanac.site.region if almanac else ""
        pages.append(SpeciesPage(lawful(species, region), lines))
    return tuple(pages)


def sources_used(pages: Iterable[SpeciesPage]) -> tuple[str, ...]:
    """The bibliography keys that the pages cite, in order."""
    keys: dict[str, None] = {}
    for page in pages:
        tables = [page.species.source, *(s.source for p in page.protocols for s in p.protocol.steps)]
        for table in tables:
            for text in table.values():
                if not text.startswith(("common practice", "from memory")):
                    keys[text.split()[0]] = None
    return tuple(sorted(keys))


def _lines(protocol: Protocol, almanac: Almanac | None, today: date, track: Track | None) -> ProtocolLines:
    share = prod(s.survive for s in protocol.steps if s.survive is not None)
    yours = None if track is None else shares_of(track, protocol, "", range(len(protocol.steps)))
    if almanac is None:
        return ProtocolLines(protocol, None, None, None, share, yours)
    chain = make_chain(protocol, almanac)
    placed = place(chain, Wish(start=today.toordinal()))
    aims = [aim for aim in placed.aims if aim is not None]
    ready = placed.ready(chain)
    return ProtocolLines(
        protocol,
        placed,
        date.fromordinal(min(aims)) if aims else None,
        None if ready is None else date.fromordinal(ready),
        share,
        yours,
    )


def _near(wanted: str, name: str) -> bool:
    return matches(wanted, (name,)) or any(
        one_letter_off(wanted, word) for word in plain(name).split() if len(word) > 3
    )
