"""Batches that the journal adds to the farm's own, and what it changes in those that have not started.

The farm file stays first: an entry that adds a batch of an id that is there is told, and nothing is done with it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from engine.farm.model import Batch, Farm
from engine.farm.protocols import NoProtocol, protocol_of, species_named
from engine.journal.entry import Entry
from engine.protocols.model import Species
from engine.reading.table import FIRST_YEAR, LAST_YEAR

if TYPE_CHECKING:
    from engine.journal.records import Lot

MOST = 10_000_000
"""Of one batch, as in a farm file."""
NEED_KINDS = frozenset(("need", "amend", "withdraw"))
STOCK_PLANT_KINDS = frozenset(("stock_plant", "grub_out"))
FARM_KINDS = NEED_KINDS | STOCK_PLANT_KINDS
"""What the farm has besides its batches."""
AHEAD = FARM_KINDS | {"undo", "batch"}
"""The kinds that the lots do not take up: what they tell is settled before or after."""


class Unfit(ValueError):
    """An entry that makes no batch, or changes none: the reason in plain words."""


def grown(farm: Farm, batches: Iterable[Batch]) -> Farm:
    """The farm with these batches, and with the species that they bring; the same farm where they are its own."""
    every = tuple(batches)
    if all(b.index >= 0 for b in every) and every == farm.batches:
        return farm
    new: dict[str, Species] = {}
    for batch in every:
        if batch.species not in farm.species and (found := species_named(farm, batch.species)) is not None:
            new[batch.species] = found
    species = {**farm.species, **new} if new else farm.species
    return replace(farm, batches=every, species=species, base=farm.written)


def added_batches(farm: Farm, entries: Iterable[Entry], strays: list[str]) -> tuple[Batch, ...]:
    """The farm's own batches, then those that the entries add; what makes none is told in `strays`."""
    batches = list(farm.batches)
    for entry in entries:
        if entry.kind == "batch":
            try:
                batches.append(batch_of(farm, entry.data, {b.id for b in batches}))
            except Unfit as reason:
                strays.append(f"{entry.on} batch {entry.data.get('batch', '')}: {reason}")
    return tuple(batches)


def with_added(farm: Farm, entries: Collection[Entry], strays: list[str]) -> Farm:
    """The farm with its needs and stock plants as these entries leave them; more is read only where there are such."""
    needs = [entry for entry in entries if entry.kind in NEED_KINDS]
    stock_plants = [entry for entry in entries if entry.kind in STOCK_PLANT_KINDS]
    if needs:
        from engine.journal.added_needs import with_needs

        farm = with_needs(farm, needs, strays)
    if stock_plants:
        from engine.journal.added_stock_plants import with_stock_plants

        farm = with_stock_plants(farm, stock_plants, strays)
    return farm


def batch_of(farm: Farm, data: Mapping[str, Any], taken: Collection[str]) -> Batch:
    """The batch that an entry adds. Raises Unfit."""
    name, species, method = (text_in(data, key) for key in ("batch", "species", "method"))
    if not (name and species and method):
        raise Unfit("it lacks a name, a species or a method")
    if name in taken:
        raise Unfit("a batch of that id is there already, and stays as it is")
    start, ready = day_in(data, "start"), day_in(data, "ready")
    check(count_in(data), start, ready)
    known = species_named(farm, species)
    latin = known.latin if known else species
    try:
        protocol = protocol_of(farm, latin, method, text_in(data, "route"))
    except NoProtocol as fault:
        raise Unfit(str(fault)) from None
    place, note = text_in(data, "place"), text_in(data, "note")
    return Batch(
        name, latin, text_in(data, "cultivar"), protocol.method, count_in(data), start, ready, protocol, place, note, -1
    )


def changed(batch: Batch, data: Mapping[str, Any]) -> Batch:
    """The batch as an entry changes it; a date that is null is taken away. Raises Unfit."""
    start = day_in(data, "start") if "start" in data else batch.start
    ready = day_in(data, "ready") if "ready" in data else batch.ready
    count = count_in(data) if "count" in data else batch.count
    cultivar = text_in(data, "cultivar") if "cultivar" in data else batch.cultivar
    check(count, start, ready)
    return replace(batch, count=count, start=start, ready=ready, cultivar=cultivar)


def begun(lot: Lot) -> str:
    """Why a lot can no longer be changed, or nothing."""
    if lot.id != lot.batch.id:
        return f"it is a part of {lot.batch.id}"
    if lot.given_up is not None:
        return f"it was given up on {lot.given_up}"
    if lot.done:
        step, done = min(lot.done.items(), key=lambda item: (item[1].day, item[0]))
        return f"it has started: {step} was done on {done.day}"
    return ""


def said_of_batch(kind: str, data: Mapping[str, Any]) -> str:
    """A new batch or need, or a change to one, in a few words, a batch's name left out; nothing for other kinds."""
    if kind in NEED_KINDS:
        from engine.journal.added_needs import said_of_need

        return said_of_need(kind, data)
    if kind in STOCK_PLANT_KINDS:
        from engine.journal.added_stock_plants import said_of_stock_plant

        return said_of_stock_plant(kind, data)
    dates = [("start", "from"), ("ready", "by")]
    if kind == "batch":
        plant = f"{data.get('species')} {data.get('cultivar', '')}".rstrip()
        route = f", {data['route']}" if data.get("route") else ""
        when = ", ".join(f"{word} {data[key]}" for key, word in dates if data.get(key))
        return f"new batch, {data.get('count')} {plant}, {data.get('method')}{route}, {when}"
    if kind == "change":
        told = [f"{data['count']} of it"] if "count" in data else []
        told += [f"{word} {data[key]}" if data[key] else f"no {key} date" for key, word in dates if key in data]
        told += [f"cultivar {data['cultivar'] or 'none'}"] if "cultivar" in data else []
        return f"now {', '.join(told)}"
    return ""


def check(count: int, start: date | None, ready: date | None) -> None:
    """Raises Unfit for a batch that cannot be: none of it, neither a start nor a readiness, or back to front."""
    if not 1 <= count <= MOST:
        raise Unfit(f"its count lies between 1 and {MOST:,}, not at {count:,}")
    if start is None and ready is None:
        raise Unfit("a batch needs a start or a ready date")
    for day in (start, ready):
        if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise Unfit(f"{day} lies outside the years {FIRST_YEAR} to {LAST_YEAR}")
    if start is not None and ready is not None and ready < start:
        raise Unfit(f"ready {ready} lies before start {start}")


def count_in(data: Mapping[str, Any]) -> int:
    count = data.get("count")
    if not isinstance(count, int) or isinstance(count, bool):
        raise Unfit("its count cannot be read")
    return count


def day_in(data: Mapping[str, Any], key: str) -> date | None:
    """The date that an entry gives, None where it gives none. Raises Unfit."""
    value = data.get(key)
    if value is None:
        return None
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        raise Unfit(f"its {key} date cannot be read") from None


def text_in(data: Mapping[str, Any], key: str) -> str:
    """The text that an entry gives, "" where it gives none."""
    value = data.get(key)
    return value.strip() if isinstance(value, str) else ""
