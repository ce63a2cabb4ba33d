"""Read the batches of a farm file, each with the protocol that it follows, and check the farm's own protocols."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine.farm.material import NO_GRAFT, graftless
from engine.farm.model import Batch
from engine.farm.protocols import (
    Found,
    NoProtocol,
    find_protocol,
    general_method,
    known_species,
    say_routes,
    settled_method,
    slip_of,
)
from engine.protocols.library import Library, meant, read_methods
from engine.protocols.model import Protocol, Species
from engine.protocols.names import one_letter_off, same_name
from engine.protocols.reading import Draft
from engine.reading.limits import MOST_IN_BATCH
from engine.reading.problems import nearest
from engine.reading.table import Table


def read_batches(
    tables: list[Table],
    drafts: list[Draft],
    library: Library,
    species: Mapping[str, Species],
    refinements: list[str],
) -> list[Batch]:
    """The batches that can be understood; what is wrong with the others is noted, what is refined told."""
    batches: list[Batch] = []
    slips: dict[str, str] = {}
    followed: dict[tuple[str, str, str], Found] = {}
    for index, table in enumerate(tables):
        batch_id = table.text("id", required=True)
        name = table.text("species", required=True)
        method = table.text("method", required=True)
        route = table.text("route") or ""
        count = table.whole("count", 1, MOST_IN_BATCH, required=True)
        start, ready = table.day("start"), table.day("ready")
        cultivar, place, note = table.text("cultivar") or "", table.text("place") or "", table.text("note") or ""
        made_of = table.text("rootstock") or "", table.text("from") or "", table.day("came")
        places = _read_places(table)
        table.finish()
        if start is None and ready is None and not (table.has("start") or table.has("ready")):
            table.fault(None, "a batch needs a start or a ready date", "add start = 2026-11-01 (nothing before it)")
        if start is not None and ready is not None and ready < start:
            table.fault("ready", f"ready {ready} is before start {start}", "ready is when the batch must be done")
        latin = latin_of(name, table, library, species, slips) if name else None
        settled = _method(method, table, library, drafts) if method else None
        if not (latin and settled):
            continue
        stranger = "" if latin in species or known_species(latin, library, species) else latin
        protocol = _protocol((latin, settled, route), table, drafts, library, refinements, stranger, followed)
        if protocol is None:
            continue
        if odd := next((word for word, _ in places if word not in {s.place for s in protocol.steps}), None):
            known = dict.fromkeys(s.place for s in protocol.steps if s.place)
            table.fault("places", f'places: no step of it stands in "{odd}"', nearest(odd, known))
        protocol = protocol.at(dict(places))
        if wrong := graftless(protocol, made_of[0]):
            table.fault("rootstock", wrong, NO_GRAFT)
        if batch_id and count and not (start is None and ready is None):
            whole = (batch_id, latin, cultivar, settled, count, start, ready, protocol, place, note, index)
            batches.append(Batch(*whole, *made_of, places))
    return batches


def _read_places(table: Table) -> tuple[tuple[str, str], ...]:
    """Where a batch stands instead of where its steps say: the places of the steps, and those that are meant."""
    told = table.table("places")
    if told is None:
        return ()
    found = {word: place for word in told.values if (place := told.text(word)) is not None}
    told.finish()
    return tuple(sorted(found.items()))


def latin_of(name: str, table: Table, library: Library, species: Mapping[str, Species], slips: dict[str, str]) -> str:
    """The Latin name meant. A farm may raise what the library lacks, but one letter off a known name is a slip."""
    found = known_species(name, library, species)
    if found is not None:
        return found.latin
    if name not in slips:
        slips[name] = slip_of(name)
    if slips[name]:
        table.fault("species", f'species "{name}" is not known', f'did you mean "{slips[name]}"?')
    return name


def called_by(names: Iterable[str], library: Library, species: Mapping[str, Species]) -> dict[str, str]:
    """By Latin name, the common name by which the grower first calls a plant, where they call it by one."""
    called: dict[str, str] = {}
    for name in names:
        found = known_species(name, library, species)
        spelt = next((each for each in found.common if same_name(each, name)), "") if found is not None else ""
        if found is not None and spelt:
            called.setdefault(found.latin, spelt)
    return called


def _method(method: str, table: Table, library: Library, drafts: list[Draft]) -> str | None:
    try:
        return settled_method(method, library, drafts)
    except NoProtocol as fault:
        table.fault(fault.key, str(fault), fault.hint)
        return None


def _protocol(
    way: tuple[str, str, str],
    table: Table,
    drafts: list[Draft],
    library: Library,
    refinements: list[str],
    stranger: str,
    followed: dict[tuple[str, str, str], Found],
) -> Protocol | None:
    """The protocol that a batch follows; what is wrong is noted, and what the farm's own changes is told.

    Batches of one plant, method and route (the `way`) follow one protocol, which is made for the first of them.
    Where a `stranger`, a name that nothing is known by, has not the route that is asked of it, the name is at fault.
    """
    latin, method, route = way
    try:
        found = followed[way] = followed.get(way) or find_protocol(latin, method, route, drafts, library)
    except NoProtocol as fault:
        if stranger and fault.key == "route" and (near := meant(stranger)):
            table.fault("species", f'species "{stranger}" is not known', near)
        else:
            (fault.draft.table if fault.draft else table).fault(fault.key, str(fault), fault.hint)
        return None
    if found.routes:
        told = f"{latin} by {method} has several routes and none is named: {found.protocol.route} is planned"
        table.fault(None, told, say_routes(found.routes))
    if found.refined:
        refinements.append(found.refined)
    return found.protocol


def check_drafts(drafts: list[Draft], batches: list[Table], library: Library, species: Mapping[str, Species]) -> None:
    """A protocol that no batch follows may wait for one; but one letter off a known name it is a slip.

    A method that the library does not know says which one it is like, or what it takes.
    """
    slips: dict[str, str] = {}
    told = {draft.method for draft in drafts if draft.like or "takes" in draft.nature}
    used = {str(t.values.get("method", "")).lower() for t in batches}
    for draft in drafts:
        if draft.species:
            latin_of(draft.species, draft.table, library, species, slips)
        if draft.like and general_method(draft.like) is None:
            hint = nearest(draft.like, read_methods())
            draft.table.fault("like", f'like: method "{draft.like}" is not known', hint)
        if library.method_name(draft.method) is not None:
            continue
        near = next((m for m in read_methods() if one_letter_off(draft.method, m)), None)
        if near is not None and draft.method not in used:
            draft.table.fault("method", f'method "{draft.method}" is not known', f'did you mean "{near}"?')
        elif draft.method not in told:
            told.add(draft.method)  # once for each
            known = sorted(read_methods(), key=lambda m: m.split()[-1] != draft.method.split()[-1])  # a graft first
            hint = f'add like = "{near or known[0]}", or another of {", ".join(known)}'
            draft.table.fault("method", f'method "{draft.method}" is new: say which one it is like', hint)
