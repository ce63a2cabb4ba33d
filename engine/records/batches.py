"""Batches that the journal adds to the farm's own, and what it changes in those that have not started.

The farm file stays first: an entry that adds a batch of an id that is there is told, and nothing is done with it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import Any

from engine.farm.material import NO_GRAFT, graftless
from engine.farm.model import Batch, Farm
from engine.farm.protocols import NoProtocol, placed, protocol_of, species_named
from engine.journal.entry import Entry
from engine.protocols.model import Protocol, Species
from engine.reading.frozen import replace
from engine.reading.limits import MOST_IN_BATCH, outside
from engine.records.makers import Makers
from engine.records.strays import stray
from engine.records.values import Unfit, count_in, day_in, text_in


def grown(farm: Farm, batches: Iterable[Batch]) -> Farm:
    """The farm with these batches, and with the species that they bring; the same farm where they are its own."""
    every = tuple(batches)
    if every == farm.batches:
        return farm
    new: dict[str, Species] = {}
    for batch in every:
        if batch.species not in farm.species and (found := species_named(farm, batch.species)) is not None:
            new[batch.species] = found
    species = {**farm.species, **new} if new else farm.species
    return replace(farm, batches=every, species=species, base=farm.written)


def added_batches(
    farm: Farm, entries: Iterable[Entry], strays: list[str], makers: Makers, known: Mapping[str, Batch] | None = None
) -> tuple[Batch, ...]:
    """The farm's own batches, then those that the entries add; what makes none is told in `strays`.

    What the same entries made before of the same farm is `known`, by the entry.
    """
    known = known or {}
    batches = list(farm.batches)
    taken = {b.id for b in batches} | {held.lot for held in farm.opening}
    for entry in entries:
        if entry.kind == "batch":
            name = text_in(entry.data, "batch")
            try:
                before = known.get(entry.id) if name not in taken else None
                batches.append(before or batch_of(farm, entry.data, taken))
                makers.made("lot", name, entry, name)
                taken.add(name)
            except Unfit as reason:
                makers.made("lot", name, entry, "")
                strays.append(stray(entry, entry.data.get("batch", ""), str(reason)))
    return tuple(batches)


def batch_of(farm: Farm, data: Mapping[str, Any], taken: Collection[str]) -> Batch:
    """The batch that an entry adds. Raises Unfit."""
    name, species, method = (text_in(data, key) for key in ("batch", "species", "method"))
    if not (name and species and method):
        raise Unfit("it lacks a name, a species or a method")
    if name in taken:
        raise Unfit("there is already a batch with that id; it stays as it is")
    start, ready = day_in(data, "start"), day_in(data, "ready")
    check(count_in(data), start, ready)
    known = species_named(farm, species)
    latin = known.latin if known else species
    try:
        protocol = protocol_of(farm, latin, method, text_in(data, "route"))
    except NoProtocol as fault:
        raise Unfit(str(fault)) from None
    place, note = text_in(data, "place"), text_in(data, "note")
    count, cultivar = count_in(data), text_in(data, "cultivar")
    return Batch(
        name, latin, cultivar, protocol.method, count, start, ready, protocol, place, note, -1,
        text_in(data, "rootstock"), text_in(data, "from"), day_in(data, "came"),
    )  # fmt: skip


def changed(farm: Farm, batch: Batch, data: Mapping[str, Any]) -> Batch:
    """The batch as an entry changes it; a date that is null is taken away. Raises Unfit."""
    start = day_in(data, "start") if "start" in data else batch.start
    ready = day_in(data, "ready") if "ready" in data else batch.ready
    count = count_in(data) if "count" in data else batch.count
    cultivar = text_in(data, "cultivar") if "cultivar" in data else batch.cultivar
    check(count, start, ready)
    came = day_in(data, "came") if "came" in data else batch.came
    rootstock = text_in(data, "rootstock") if "rootstock" in data else batch.rootstock
    source = text_in(data, "from") if "from" in data else batch.source
    protocol, places = _way(farm, batch, data)
    batch = replace(
        batch, count=count, start=start, ready=ready, cultivar=cultivar, came=came, method=protocol.method,
        protocol=protocol, places=places, rootstock=rootstock, source=source,
    )  # fmt: skip
    if data.keys() & {"method", "rootstock"} and (wrong := graftless(protocol, batch.rootstock)):
        raise Unfit(f"{wrong}; {NO_GRAFT}")
    return batch


def _way(farm: Farm, batch: Batch, data: Mapping[str, Any]) -> tuple[Protocol, tuple[tuple[str, str], ...]]:
    """The protocol that a batch follows as an entry changes it, and where it stands elsewhere. Raises Unfit."""
    if not data.keys() & {"method", "route", "places"}:
        return batch.protocol, batch.places
    method = text_in(data, "method") or batch.method
    route = text_in(data, "route") if {"method", "route"} & data.keys() else batch.protocol.route
    places = places_in(data) if "places" in data else batch.places
    try:
        return placed(farm, protocol_of(farm, batch.species, method, route), places), places
    except NoProtocol as fault:
        raise Unfit(str(fault)) from None


def places_in(data: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """The places that an entry gives instead of those of the protocol. Raises Unfit."""
    told = data["places"]
    if not isinstance(told, Mapping) or not all(isinstance(name, str) and name.strip() for name in told.values()):
        raise Unfit("its places cannot be read")
    return tuple(sorted((word, name.strip()) for word, name in told.items()))


def check(count: int, start: date | None, ready: date | None) -> None:
    """Raises Unfit for a batch that cannot be: none of it, neither a start nor a readiness, or back to front."""
    if not 1 <= count <= MOST_IN_BATCH:
        raise Unfit(f"its count must be from 1 to {MOST_IN_BATCH:,}, not {count:,}")
    if start is None and ready is None:
        raise Unfit("a batch needs a start or a ready date")
    for day in (start, ready):
        if day is not None and (told := outside(day)):
            raise Unfit(told)
    if start is not None and ready is not None and ready < start:
        raise Unfit(f"ready {ready} is before start {start}")
