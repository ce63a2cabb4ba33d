"""What a grower may record of batches themselves: a new one, and a change to one that has not started, or refused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from enum import Enum
from typing import Any, Final

from engine.acts.action import Action, Refused
from engine.acts.free_ids import first_free
from engine.acts.propagation import find_lot
from engine.farm.material import NO_GRAFT, graftless
from engine.farm.model import Batch, Farm
from engine.farm.places import known_places, place_named
from engine.farm.protocols import NoProtocol, has_instead, meant_method, protocol_of, routes_of, species_named, ways_of
from engine.protocols.library import meant
from engine.protocols.model import Protocol, Species
from engine.protocols.names import plain, same_name
from engine.reading.frozen import dataclass
from engine.reading.limits import outside
from engine.reading.problems import nearest
from engine.records.batches import changed, check
from engine.records.lots import NAMED_LATE, begun
from engine.records.values import Unfit
from engine.schedule.nursery import Nursery


class _Keep(Enum):
    KEEP = "as it is"


Instead = Sequence[tuple[str, str]] | Mapping[str, str]
STARTED = "e corrects or undoes what was recorded; to raise it another way, drop it and begin a new batch"
"""What to do instead of changing what has started."""
GENERAL = "--general follows the general method"
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
    wanted_id = plain(name)
    for taken in (*(lot.id for lot in nursery.records.lots), *nursery.records.stock.names):
        if plain(taken) == wanted_id:
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


@dataclass(frozen=True, slots=True)
class BatchChange:
    """What is to change of a batch; None takes a date away."""

    count: int | _Keep = KEEP
    start: date | _Keep | None = KEEP
    ready: date | _Keep | None = KEEP
    cultivar: str | _Keep = KEEP
    method: str | _Keep = KEEP
    route: str | _Keep = KEEP
    places: Instead | _Keep = KEEP
    """Pairs of a place where it would stand and the one meant instead, or the places meant by the words of the
    protocol; none of them: as the protocol says."""
    rootstock: str | _Keep = KEEP
    source: str | _Keep = KEEP
    came: date | _Keep | None = KEEP
    general: bool = False
    """The general method is meant, where the library has none of the species' own."""


def change_batch(nursery: Nursery, batch: str, on: date, wanted: BatchChange) -> Action:
    """A change to a batch that has not started.

    Raises Refused where an act of it is done (but for the cultivar of a graft of which only rootstocks were bought),
    for counts, dates and names that cannot be, and where nothing would change.
    """
    lot, farm = find_lot(nursery.records, batch), nursery.farm
    if reason := begun(lot, NAMED_LATE):
        raise Refused(f"{lot.id} cannot be changed: {reason}", STARTED)
    told: dict[str, Any] = {}
    protocol, method, route, places = lot.batch.protocol, wanted.method, wanted.route, wanted.places
    if method is not KEEP or route is not KEEP:
        same = method is KEEP or same_name(method, protocol.method)
        way = protocol.route if same and route is KEEP else "" if route is KEEP else route
        found = find_way(farm, lot.batch.species, protocol.method if method is KEEP else method, way)
        if (found.method, found.route) != (protocol.method, protocol.route):
            if not wanted.general and found.method != protocol.method:
                must_be_own(farm, find_species(farm, lot.batch.species), found.method, GENERAL)
            told |= {"method": found.method, "route": found.route}
            protocol = found
    if places is not KEEP and (instead := _instead(farm, lot.batch, protocol, places)) != dict(lot.batch.places):
        told["places"] = instead
    for key, new, was in (
        ("rootstock", wanted.rootstock, lot.batch.rootstock), ("from", wanted.source, lot.batch.source),
        ("came", wanted.came, lot.batch.came), ("count", wanted.count, lot.batch.count),
        ("start", wanted.start, lot.batch.start), ("ready", wanted.ready, lot.batch.ready),
        ("cultivar", wanted.cultivar, lot.batch.cultivar),
    ):  # fmt: skip
        if new is not KEEP and (value := new.strip() if isinstance(new, str) else new) != was:
            told[key] = value.isoformat() if isinstance(value, date) else value
    if told and (reason := begun(lot, told.keys())):
        raise Refused(f"{lot.id} cannot be changed: {reason}", STARTED)
    if not told:
        raise Refused(f"nothing about {lot.id} would change")
    if wrong := graftless(protocol, told.get("rootstock", lot.batch.rootstock)):
        raise Refused(wrong, NO_GRAFT)
    try:
        changed(farm, lot.batch, told)
    except Unfit as fault:
        raise Refused(str(fault)) from None
    return Action("change", on, {"batch": lot.id, **told})


def places_of(farm: Farm, batch: Batch, protocol: Protocol | None = None) -> tuple[str, ...]:
    """Where a batch will stand, in order, by the farm's own names; of another protocol, were it to follow that."""
    other = dict(batch.places)
    steps = (protocol or batch.protocol).steps
    return tuple(dict.fromkeys(farm.place_for(other.get(s.place, s.place)) for s in steps if s.place))


def _instead(farm: Farm, batch: Batch, protocol: Protocol, wanted: Instead) -> dict[str, str]:
    """By the protocol's own words, the places where a batch is to stand instead. Raises Refused."""
    if not wanted:
        return {}
    now, own = dict(batch.places), protocol_of(farm, protocol.species, protocol.method, protocol.route)
    if isinstance(wanted, Mapping):
        now = {word: find_place(farm, name) for word, name in wanted.items()}
        wanted = ()
    for old, new in wanted:
        here = [s.place for s in own.steps if same_name(farm.place_for(now.get(s.place, s.place)), old)]
        if not here:
            raise Refused(f'{batch.id} never stands in "{old}"', f"it goes to {', '.join(places_of(farm, batch, own))}")
        now |= dict.fromkeys(here, find_place(farm, new))
    words = dict.fromkeys(s.place for s in own.steps)
    return {word: now[word] for word in sorted(now) if word in words and now[word] != farm.place_for(word)}


def find_species(farm: Farm, name: str) -> Species:
    """The species of that name, of the farm's own or the library's. Raises Refused with the nearest good spelling."""
    if not name.strip():
        raise Refused("a batch needs a species")
    found = species_named(farm, name)
    if found is None and any(draft.species == name.strip() for draft in farm.own):
        return Species(name.strip())  # the farm has a protocol for what no file describes
    if found is None:
        own = [n for s in farm.species.values() for n in (s.latin, *s.common)]
        hint = _cultivar_apart(farm, name) or meant(name.strip(), own)
        raise Refused(f'species "{name.strip()}" is not known', hint)
    return found


def _cultivar_apart(farm: Farm, name: str) -> str:
    """What to do with a cultivar that was written after the name of a plant, `apple Bramley`; else nothing."""
    words = name.split()
    for k in range(len(words) - 1, 0, -1):
        if species_named(farm, plant := " ".join(words[:k])) is not None:
            return f'give a cultivar apart: species "{plant}", cultivar "{" ".join(words[k:])}"'
    return ""


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
    wanted = " ".join(meant_method(farm, latin, method).split())
    routes = {p.route for p in ways_of(farm, latin) if plain(p.method) == plain(wanted)}
    like = [r for r in routes if plain(route) and plain(route) in plain(r)]
    exact = next((r for r in routes if plain(r) == plain(route)), "")
    if not exact and len(like) > 1:
        raise Refused(f'route "{route.strip()}" could be several', f"say which: {', or '.join(sorted(like))}")
    same = exact or (like[0] if len(like) == 1 else " ".join(route.split()))
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
