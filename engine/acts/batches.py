"""What a grower may record of batches themselves: a new one, and a change to one that has not started, or refused."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from enum import Enum
from typing import Any, Final

from engine.acts.action import Action, Refused
from engine.acts.ids import first_free
from engine.acts.propagation import find_lot
from engine.farm.material import NO_GRAFT, graftless
from engine.farm.model import Farm
from engine.farm.places import known_places, place_named
from engine.farm.protocols import NoProtocol, has_instead, protocol_of, routes_of, species_named, ways_of
from engine.protocols.library import meant
from engine.protocols.model import Protocol, Species
from engine.protocols.names import plain
from engine.reading.frozen import dataclass
from engine.reading.limits import outside
from engine.reading.problems import nearest
from engine.records.batches import check
from engine.records.lots import begun
from engine.records.values import Unfit
from engine.schedule.nursery import Nursery


class _Keep(Enum):
    KEEP = "as it is"


KEEP: Final = _Keep.KEEP
"""What a change leaves as it is."""


@dataclass(frozen=True, slots=True)
class NewBatch:
    """A batch as it is asked for: any of the names of its species and method; nothing before start, done by ready."""

    id: str
    species: str
    method: str
    count: int
    start: date | None = None
    ready: date | None = None
    route: str = ""
    cultivar: str = ""
    place: str = ""
    note: str = ""
    rootstock: str = ""
    source: str = ""
    """From whom, or where, its seed or wood came."""
    came: date | None = None
    """When that came."""
    general: bool = False
    """The general method is meant, where the library has none of the species' own."""


def new_batch(nursery: Nursery, wanted: NewBatch, on: date) -> Action:
    """A new batch.

    Raises Refused for an id that is taken, names that are not known, and counts and dates that cannot be, each with the
    nearest good spelling or a remedy.
    """
    farm = nursery.farm
    name = wanted.id.strip()
    if not name:
        raise Refused("a batch needs an id", "such as E27: it is printed on the label")
    for taken in (*(lot.id for lot in nursery.records.lots), *nursery.records.stock.names):
        if plain(taken) == plain(name):
            raise Refused(f'"{taken}" is already taken', "give another id")
    species = find_species(farm, wanted.species)
    if wanted.start is None and wanted.ready is None:
        raise Refused("a batch needs a start or a ready date", "nothing before the start; done by the ready date")
    try:
        check(wanted.count, wanted.start, wanted.ready)
    except Unfit as fault:
        raise Refused(str(fault)) from None
    protocol = find_way(farm, species.latin, wanted.method, wanted.route)
    if not wanted.general:
        must_be_own(farm, species, protocol.method, "add --general to follow the general method")
    if wrong := graftless(protocol, wanted.rootstock.strip()):
        raise Refused(wrong, NO_GRAFT)
    if wanted.came is not None and (told := outside(wanted.came)):
        raise Refused(told)
    data: dict[str, Any] = {
        "batch": name, "species": species.latin, "cultivar": wanted.cultivar.strip(), "method": protocol.method,
        "route": protocol.route, "count": wanted.count, "start": _iso(wanted.start), "ready": _iso(wanted.ready),
        "place": find_place(farm, wanted.place), "note": wanted.note.strip(), "rootstock": wanted.rootstock.strip(),
        "from": wanted.source.strip(), "came": _iso(wanted.came),
    }  # fmt: skip
    return Action("batch", on, {key: value for key, value in data.items() if value not in ("", None)})


def change_batch(
    nursery: Nursery,
    batch: str,
    on: date,
    *,
    count: int | _Keep = KEEP,
    start: date | _Keep | None = KEEP,
    ready: date | _Keep | None = KEEP,
    cultivar: str | _Keep = KEEP,
) -> Action:
    """A change to a batch that has not started; None takes a date away.

    Raises Refused where an act of it is done, for counts and dates that cannot be, and where nothing would change.
    """
    lot = find_lot(nursery.records, batch)
    if reason := begun(lot):
        raise Refused(f"{lot.id} cannot be changed: {reason}", "undo that entry first, if it is wrong")
    told: dict[str, Any] = {}
    if count is not KEEP and count != lot.batch.count:
        told["count"] = count
    if start is not KEEP and start != lot.batch.start:
        told["start"] = _iso(start)
    if ready is not KEEP and ready != lot.batch.ready:
        told["ready"] = _iso(ready)
    if cultivar is not KEEP and cultivar.strip() != lot.batch.cultivar:
        told["cultivar"] = cultivar.strip()
    if not told:
        raise Refused(f"nothing about {lot.id} would change")
    try:
        check(
            lot.batch.count if count is KEEP else count,
            lot.batch.start if start is KEEP else start,
            lot.batch.ready if ready is KEEP else ready,
        )
    except Unfit as fault:
        raise Refused(str(fault)) from None
    return Action("change", on, {"batch": lot.id, **told})


def find_species(farm: Farm, name: str) -> Species:
    """The species of that name, of the farm's own or the library's. Raises Refused with the nearest good spelling."""
    if not name.strip():
        raise Refused("a batch needs a species")
    found = species_named(farm, name)
    if found is None and any(draft.species == name.strip() for draft in farm.own):
        return Species(name.strip())  # the farm has a protocol for what no file describes
    if found is None:
        own = [n for s in farm.species.values() for n in (s.latin, *s.common)]
        raise Refused(f'species "{name.strip()}" is not known', meant(name.strip(), own))
    return found


def must_be_own(farm: Farm, species: Species, method: str, remedy: str) -> None:
    """Raises Refused where a species has ways of its own, and none by that method, with what it has and the remedy."""
    if has := has_instead(farm, species.latin, method):
        told = f"neither the library nor your file has {method} for {species.name}"
        raise Refused(told, f"it has {', '.join(has)}; {remedy}")


def find_way(farm: Farm, latin: str, method: str, route: str) -> Protocol:
    """The protocol of a species by a method and route. Raises Refused with the nearest good spelling."""
    if not method.strip():
        names = dict.fromkeys(p.method for p in ways_of(farm, latin))
        raise Refused("a batch needs a method", f"{latin} is raised by {', '.join(names)}" if names else "")
    wanted = " ".join(method.split())
    routes = {p.route for p in ways_of(farm, latin) if plain(p.method) == plain(wanted)}
    same = next((r for r in routes if plain(r) == plain(route)), " ".join(route.split()))
    try:
        found = protocol_of(farm, latin, wanted, same)
        if not same and (several := routes_of(farm, latin, found.method)):
            raise Refused(f"{latin} by {found.method} has several routes", f"say which: {', or '.join(several)}")
        return found
    except NoProtocol as fault:
        raise Refused(str(fault), fault.hint) from None


def find_place(farm: Farm, place: str) -> str:
    """A place of the farm by its own name, or nothing. Raises Refused with the nearest good spelling."""
    wanted = place.strip()
    if not wanted:
        return ""
    if (found := place_named(farm, wanted)) is None:
        raise Refused(f'no place is called "{wanted}"', nearest(wanted, known_places(farm)))
    return found


def free_id(nursery: Nursery, name: str, day: date, besides: Iterable[str] = (), mark: str = "") -> str:
    """An id that is free: the plant's initials and the year, `AE27` for an American elder, else `AE27b`, then `AE27c`.

    `besides` are ids that are meant for batches not recorded yet; `mark` is this device's, as `mark_of` gives it.
    """
    first = first_id(name, day)
    taken = {plain(n) for n in (*(lot.id for lot in nursery.records.lots), *nursery.records.stock.names, *besides)}
    return first_free(first, taken, mark)


def first_id(name: str, day: date) -> str:
    """The id that is offered first: a plant's initials and the year."""
    words = [word for word in plain(name).replace("-", " ").split() if word[0].isalpha()]
    return f"{''.join(word[0] for word in words).upper()[:3] or 'B'}{day.year % 100:02}"


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
