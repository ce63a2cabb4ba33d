"""How a batch finds its protocol: the one rule, for batches of the farm file and for those added at the screen.

The farm's own protocol stands over the library's of the species, and that over the general method.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from engine.farm.model import Farm
from engine.protocols.library import Library, all_names, read_library, read_methods, spelt
from engine.protocols.model import Protocol, Species
from engine.protocols.names import one_letter_off, plain, same_name
from engine.protocols.reading import Draft, build
from engine.reading.frozen import dataclass, replace
from engine.reading.problems import nearest

FIGURES = ("survive",)
"""Whose sources a farm's protocols tell: they stand beside the odds. The page of a species tells them all."""


class NoProtocol(ValueError):
    """No protocol is found: what is wrong with which key (None: the whole), a remedy, the draft that is at fault."""

    def __init__(self, key: str | None, message: str, hint: str = "", draft: Draft | None = None) -> None:
        super().__init__(message)
        self.key, self.hint, self.draft = key, hint, draft


@dataclass(frozen=True, slots=True)
class Found:
    """A protocol, and what the farm's own changed in the library's, in words (nothing where it stands as it was)."""

    protocol: Protocol
    refined: str = ""
    routes: tuple[str, ...] = ()
    """Where there are several and none was named, those to choose from: the first is followed until one is."""


def known_species(name: str, library: Library, species: Mapping[str, Species]) -> Species | None:
    """The species of that name, Latin or common, in what was read of the library or among the farm's own."""
    own = (s for s in species.values() if any(same_name(name, known) for known in (s.latin, *s.common)))
    return library.find_species(name) or next(own, None)


@lru_cache(maxsize=256)  # a plant of the farm's own is named by each of its batches
def slip_of(name: str) -> str:
    """The known name that this one is a letter off, or nothing. A farm may raise what the library lacks."""
    if spelt(name):
        return ""
    return next((n for n in all_names() if one_letter_off(name, n)), "")


def settled_method(method: str, library: Library, own: Sequence[Draft]) -> str:
    """The settled name of a method, from any of its names. Raises NoProtocol with the nearest good spelling."""
    found = library.method_name(method) or next((d.method for d in own if d.method.lower() == method.lower()), None)
    if found is None:
        every = read_methods()
        names = [*every, *(a for m in every.values() for a in m.also), *(d.method for d in own)]
        hint = nearest(method, names) or f"known are, among others, {', '.join(list(every)[:6])}"
        raise NoProtocol("method", f'method "{method}" is not known', hint)
    return found


def meant_method(farm: Farm, latin: str, told: str) -> str:
    """The method that is meant, also in the plural, or by how it begins where one alone begins so (`hardwood`): first
    of those by which the plant is raised, then of all. As it is told where none is."""
    wanted, every = plain(told), read_methods()
    ways = dict.fromkeys(way.method for way in ways_of(farm, latin))
    names = dict.fromkeys([*ways, *every, *(a for m in every.values() for a in m.also), *(d.method for d in farm.own)])
    if not wanted or any(plain(name) == wanted for name in names):
        return told
    singular = next((name for name in names if plain(name) == wanted.removesuffix("s")), "")
    begin = [[name for name in some if plain(name).startswith(f"{wanted} ")] for some in (ways, every)]
    return singular or next((some[0] for some in begin if len(some) == 1), told)


def own_of(latin: str, library: Library, own: Iterable[Draft]) -> list[Draft]:
    """The farm's own drafts for a species, by whichever of its names."""
    known = library.find_species(latin)
    return [d for d in own if d.species == latin or (known is not None and library.find_species(d.species) is known)]


def find_protocol(latin: str, method: str, route: str, own: Iterable[Draft], library: Library) -> Found:
    """The protocol that a batch follows. `method` is settled; `library` was read for the species and the method.

    Raises NoProtocol.
    """
    of_library = library.of(latin, method)
    every = tuple(own)
    own = [d for d in own_of(latin, library, every) if (library.method_name(d.method) or d.method) == method]
    routes = [d.route for d in (*of_library, *own) if d.route]
    if route and route not in routes and not any(not d.route for d in own):
        hint = nearest(route, routes) if routes else "this method has one route here: leave route out"
        raise NoProtocol("route", f'route "{route}" is not known for {latin} by {method}', hint)
    base = next((d for d in of_library if d.route == route), None) or (of_library[0] if of_library else None)
    taken = route or (base.route if base else "")
    mine = next((d for d in own if d.route == route), None) or next((d for d in own if d.route == taken), None)
    if mine is None and not taken:  # where the library knows no routes, the farm's own way is meant, whatever its name
        mine = next(iter(own), None)
    layers = library.layers(base) if base else ([library.methods[method]] if method in library.methods else [])
    refined = ""
    if mine is not None:
        if not mine.steps and not mine.omit:
            hint = "add [[protocol.step]] tables, each with do = …"
            raise NoProtocol(None, "the protocol has no steps", hint, mine)
        if base is not None and _refines(mine, layers):
            layers = [*layers, mine]
            refined = _changes(mine, method)
        else:
            layers = [mine]
    if not layers:
        raise NoProtocol("method", f"no protocol is known for {latin} by {method}")
    protocol = build(layers, latin, library.methods.get(method) or like_of(method, every))
    if not protocol.steps:
        hint = "take a step or more out of omit, or add [[protocol.step]] tables, each with do = …"
        raise NoProtocol("omit" if mine else None, f"no step is left of {latin} by {method}", hint, mine)
    names = tuple(dict.fromkeys(d.route for d in (*of_library, *own)))
    several = names if not route and len(names) > 1 and "" not in names else ()
    return Found(replace(protocol, method=method, route=route or protocol.route), refined, several)


def like_of(method: str, own: Iterable[Draft]) -> Draft | None:
    """The general method whose nature one of the farm's own has, as its drafts say (`like`); None: they say none."""
    said = next((d.like for d in own if d.like and d.method.lower() == method.lower()), "")
    return general_method(said) if said else None


def general_method(name: str) -> Draft | None:
    """A general method of the library by any of its names; None where it knows none."""
    every = read_methods()
    return every.get(Library(methods=dict(every)).method_name(name) or "")


def _refines(mine: Draft, layers: list[Draft]) -> bool:
    """Whether a farm's protocol changes steps of the library's, rather than standing whole."""
    if mine.whole is not None:
        return not mine.whole
    known: set[str] = set()
    for draft in layers:
        known = known.difference(draft.omit) | {values["do"] for values in draft.steps}
    return all(values["do"] in known or "before" in values for values in mine.steps)


def _changes(mine: Draft, method: str) -> str:
    parts = [
        f"{values['do']}: {', '.join(sorted(k for k in values if k not in ('do', 'source', 'before')))}"
        for values in mine.steps
    ]
    parts += [f"without {name}" for name in mine.omit]
    return f"{mine.titled(method)}: changes {'; '.join(parts)}"


# -- for what is not a batch of the farm file


@lru_cache(maxsize=64)
def library_of(name: str, method: str | None) -> Library:
    """What the library says of one species, by any of its names, and one method (None: all methods)."""
    return read_library({name: None if method is None else (method,)}, FIGURES)


def species_named(farm: Farm, name: str) -> Species | None:
    """The species that a name means on this farm, else in the whole library; case and accents aside."""
    wanted = " ".join(name.split())
    if not wanted:
        return None
    return farm.species.get(wanted) or known_species(wanted, library_of(spelt(wanted) or wanted, ""), farm.species)


def protocol_of(farm: Farm, latin: str, method: str, route: str) -> Protocol:
    """The protocol of a species on this farm, by any name of the method. Raises NoProtocol.

    It is found once for each farm file, so that the dates worked out for it can be kept.
    """
    key = (latin, method, route)
    if key not in farm.found:
        library = library_of(latin, method)
        settled = settled_method(method, library, farm.own)
        of_file = (
            b.protocol for b in farm.written.batches if (b.species, b.method) == (latin, settled) and not b.places
        )
        same = next((p for p in of_file if p.route == route), None)  # one protocol, one chain of dates
        farm.found[key] = same or find_protocol(latin, settled, route, farm.own, library).protocol
    return farm.found[key]


def placed(farm: Farm, protocol: Protocol, places: tuple[tuple[str, str], ...]) -> Protocol:
    """The protocol with these places where its steps name others; found once, as `protocol_of` does."""
    key = (protocol.species, protocol.method, protocol.route, places)
    if key not in farm.found:
        farm.found[key] = protocol.at(dict(places))
    return farm.found[key]


def routes_of(farm: Farm, latin: str, method: str) -> tuple[str, ...]:
    """The routes to choose from where a method has several and none of them stands without a name; else nothing."""
    names = tuple(p.route for p in ways_of(farm, latin) if p.method.lower() == method.lower())
    return names if len(names) > 1 and "" not in names else ()


def say_routes(routes: Iterable[str]) -> str:
    """The remedy where a route is not named: each as a farm file has it."""
    return "add " + " or ".join(f'route = "{route}"' for route in routes)


def has_instead(farm: Farm, latin: str, method: str) -> tuple[str, ...]:
    """The methods by which a species is raised here, where that one is not among them: then it may be a slip.

    Nothing where it is, or where the species has none of its own: the general methods raise it. `method` is settled.
    """
    known = tuple(dict.fromkeys(way.method for way in ways_of(farm, latin)))
    return () if method in known else known


def ways_of(farm: Farm, latin: str) -> tuple[Protocol, ...]:
    """Every method and route by which a species may be raised here: the library's, then those of the farm's own."""
    library = library_of(latin, None)
    ways = {(d.method, d.route): None for d in library.drafts if d.species == latin}
    ways |= {(library.method_name(d.method) or d.method, d.route): None for d in own_of(latin, library, farm.own)}
    found: dict[tuple[str, str], Protocol] = {}
    for method, route in ways:
        try:
            protocol = protocol_of(farm, latin, method, route)
        except NoProtocol:
            continue  # told by `widger check`
        found.setdefault((method, protocol.route), protocol)
    return tuple(found.values())
