"""A farm with its journal applied: the almanac as each species sees it, the chains of its protocols, found once."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from engine.almanac.almanac import Almanac, NeverComes
from engine.almanac.windows import spans_of
from engine.farm.model import Batch, Farm, Standing
from engine.protocols.model import Protocol
from engine.reading.frozen import dataclass, field, replace
from engine.records.rates import Track, track_of
from engine.records.records import Records
from engine.schedule.care import PLANTING, STOCK, Plants, Stands, care_work, planted_out, standing_stock
from engine.schedule.chain import Chain, ChainFault, Lasting, make_chain, never_opens
from engine.schedule.placing import Placement, Wish, place


@dataclass(frozen=True, slots=True)
class Nursery:
    """A farm with its journal applied: almanacs by species, chains by protocol. Made anew when either changes."""

    farm: Farm
    records: Records
    almanac: Almanac
    _almanacs: dict[str, Almanac] = field(default_factory=dict)
    _chains: dict[tuple[int, str, frozenset[str], tuple[tuple[str, Lasting], ...]], Chain] = field(default_factory=dict)
    _kept: list[Protocol] = field(default_factory=list)
    _placed: dict[tuple[object, ...], Placement] = field(default_factory=dict)
    _track: list[tuple[Records, Track]] = field(default_factory=list)
    _cared: list[tuple[Records, tuple[tuple[Plants, ...], tuple[Plants, ...]]]] = field(default_factory=list)

    _stands: Stands = field(default_factory=dict)
    _care: dict[date, tuple[tuple[tuple[Plants, ...], tuple[Plants, ...]], tuple[Standing, ...]]] = field(
        default_factory=dict
    )

    @property
    def cared_for(self) -> tuple[tuple[Plants, ...], tuple[Plants, ...]]:
        """What stands in the plantings, and what stands ready as stock."""
        if not self._cared or self._cared[-1][0] is not self.records:
            found = planted_out(self.farm, self.records), standing_stock(self.farm, self.records, self._stands)
            self._cared[:] = [(self.records, found)]
        return self._cared[-1][1]

    def care(self, on: date) -> tuple[Standing, ...]:
        """The care that what stands in the plantings and what stands as stock ask for on a day, as standing work."""
        known = self._care.get(on)
        if known is None or known[0] != self.cared_for:
            planted, stock = self.cared_for
            known = self.cared_for, (*care_work(planted, PLANTING, on), *care_work(stock, STOCK, on))
            self._care[on] = known
        return known[1]

    @property
    def track(self) -> Track:
        """The grower's own results, as these records tell them."""
        known, track = self._track[-1] if self._track else (None, None)
        if known is not self.records or track is None:
            if known is None or track is None or known.trials != self.records.trials:
                track = track_of(self.records)
            self._track[:] = [(self.records, track)]
        return track

    def almanac_for(self, species: str) -> Almanac:
        """The site's dates as a species sees them."""
        if species not in self._almanacs:
            self._almanacs[species] = self.almanac.for_species(self.farm.species_of(species).marks)
        return self._almanacs[species]

    def chain(
        self, protocol: Protocol, without: frozenset[str] = frozenset(), lasts: Mapping[str, Lasting] | None = None
    ) -> Chain:
        """The chain of a protocol here, some steps left out and some lasting otherwise. Raises ChainFault."""
        altered = tuple(sorted((lasts or {}).items(), key=lambda item: item[0]))
        key = (id(protocol), protocol.species, without, altered)
        if key not in self._chains:
            self._kept.append(protocol)  # keeps the id from being given to another
            reduced = protocol.without(without)
            self._chains[key] = make_chain(reduced, self.almanac_for(protocol.species), lasts)
        return self._chains[key]

    def meant(self, chain: Chain, wish: Wish) -> Placement:
        """Where the acts of one of these chains lie without regard to today: found once, whatever the day.

        What is told of its season is left out.
        """
        key = (id(chain), wish.start, wish.ready, wish.floor, *wish.done.items(), None, *wish.not_before.items())
        if key not in self._placed:
            self._placed[key] = place(chain, wish, tell=False)
        return self._placed[key]


def open_nursery(farm: Farm, records: Records, before: Nursery | None = None) -> Nursery:
    """The farm with its records; the dates found `before` are kept where they rest on the same farm and sightings.

    The batches that the journal adds or changes are the farm's too.
    """
    farm = records.farm or farm
    if before is not None and _same_ground(farm, before) and before.records.sightings == records.sightings:
        return replace(before, farm=farm, records=records)
    return Nursery(farm, records, Almanac(farm.site, records.sightings))


def _same_ground(farm: Farm, before: Nursery) -> bool:
    """Whether both have the same ground, and no species is known now whose dates were found when it was not."""
    if not before.farm.same_ground(farm):
        return False
    known = before.farm.species
    return known is farm.species or all(latin in known for latin in before._almanacs.keys() & farm.species.keys())


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


def idle(nursery: Nursery, today: date) -> list[tuple[Standing, str]]:
    """The standing work of the file whose season never comes at this site, and why not."""
    found: list[tuple[Standing, str]] = []
    for work in nursery.farm.standing:
        if work.index >= 0 and not work.window.always:
            try:
                spans_of(nursery.almanac, work.window).from_day(today.toordinal())
            except NeverComes as reason:
                found.append((work, str(reason)))
    return found
