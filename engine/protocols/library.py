"""The library of species and protocols: one file for each method, and one for each genus or family.

Only the tables that a farm needs are read: to make protocols of all of them takes as long as drawing the board.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import tomli

from engine.protocols import LIBRARY as FOLDER
from engine.protocols.compiled import METHOD, PROTOCOL, REST, SPECIES, Entry, Tables, read_tables
from engine.protocols.model import Protocol, Species
from engine.protocols.names import plain, same_name
from engine.protocols.reading import Draft, build, read_draft, read_species
from engine.reading.frozen import dataclass, field
from engine.reading.problems import Fault, Findings, Problem, located, nearest
from engine.reading.table import Table

_MANY = 8


@dataclass(frozen=True, slots=True)
class Library:
    """What has been read: species by Latin name, drafts by species, the generic methods, and faults of the files."""

    species: dict[str, Species] = field(default_factory=dict)
    drafts: tuple[Draft, ...] = ()
    methods: dict[str, Draft] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def method_name(self, method: str) -> str | None:
        """The settled name of a method, from it or one of its other names; None where it is not known."""
        wanted = method.lower()
        for name, draft in self.methods.items():
            if wanted in (name.lower(), *(other.lower() for other in draft.also)):
                return name
        return None

    def find_species(self, name: str) -> Species | None:
        """A species by its Latin or a common name, case and accents aside."""
        if found := self.species.get(name):
            return found
        for species in self.species.values():
            if any(same_name(name, known) for known in (species.latin, *species.common)):
                return species
        return None

    def of(self, species: str, method: str) -> tuple[Draft, ...]:
        """The drafts of a species by a method, one for each route: those that go on from another come last."""
        routes = [d for d in self.drafts if d.species == species and d.method == method]
        return tuple(sorted(routes, key=lambda draft: bool(draft.extends)))

    def protocol(self, draft: Draft) -> Protocol:
        """A library protocol, laid over the generic method that it refines."""
        return build(self.layers(draft), draft.species, self.methods.get(draft.method))

    def layers(self, draft: Draft) -> list[Draft]:
        """The drafts that make a protocol, the generic method undermost."""
        if draft.extends:
            return [*self.layers(self._extended(draft)), draft]
        generic = self.methods.get(draft.method)
        return [draft] if draft.whole or generic is None or generic is draft else [generic, draft]

    def _extended(self, draft: Draft) -> Draft:
        """The route on which this one goes on; raises LookupError where the library has none of that name."""
        for other in self.of(draft.species, draft.method):
            if other.route == draft.extends and not other.extends:
                return other
        raise LookupError(f'{draft.titled(draft.method)}: no route is called "{draft.extends}"')


def read_library(
    wanted: Mapping[str, Collection[str] | None] | None = None,
    sources: Collection[str] | None = None,
    folder: Path = FOLDER,
    own: Collection[str] = (),
) -> Library:
    """Read the library: all of it, or what tells of the wanted species (Latin or common), each by its methods.

    No methods (`()`): the species alone; None: every method. Where `sources` names figures, only theirs are kept: where
    the figures come from is half of the text. Names that are not spelt as here are found as `same_name` has them, but
    for those in `own`, which a farm gives to species of its own.
    """
    tables = read_tables(folder)
    entries = tables.entries if wanted is None else _telling_of(wanted, tables.rows, own)
    return _read(entries, tables, folder, None if sources is None else frozenset(sources))


@lru_cache(maxsize=4)
def read_methods(folder: Path = FOLDER) -> Mapping[str, Draft]:
    """Every general method by its settled name."""
    tables = read_tables(folder)
    return _read([entry for entry in tables.entries if entry.kind == METHOD], tables, folder).methods


def _telling_of(
    wanted: Mapping[str, Collection[str] | None], rows: Sequence[Sequence[Any]], own: Collection[str]
) -> list[Entry]:
    """The tables of the wanted species by the methods they are wanted by, and of those methods."""
    settled: dict[str, str] = {}
    spelt: dict[str, list[str]] = {}
    for kind, _, _, names, _, _ in rows:
        if kind == METHOD:
            settled |= {name.lower(): names[0] for name in names}
        elif kind == SPECIES:
            for name in names:
                spelt.setdefault(name.lower(), []).append(names[0])
    meant: dict[str, set[str] | None] = {}
    general: set[str] | None = set()
    for term, methods in wanted.items():
        by = None if methods is None else {known for method in methods if (known := settled.get(method.lower()))}
        general = None if by is None or general is None else general | by
        latins = spelt.get(term.lower(), [])
        if not latins and term not in own:  # accents, the hybrid sign, spaces
            latins = [latin for name in spelt if same_name(name, term) for latin in spelt[name]]
        for latin in latins:
            before = meant.get(latin, set())
            meant[latin] = None if by is None or before is None else before | by

    found = []
    for row in rows:
        kind, names = row[0], row[3]
        if kind == PROTOCOL:
            if names[0] in meant and ((by := meant[names[0]]) is None or names[1] in by):
                found.append(Entry._make(row))
        elif kind == METHOD:
            if general is None or names[0] in general:
                found.append(Entry._make(row))
        elif kind == SPECIES and names[0] in meant:
            found.append(Entry._make(row))
    return found


def _read(entries: Iterable[Entry], tables: Tables, folder: Path, sources: frozenset[str] | None = None) -> Library:
    found: dict[str, list[Any]] = {SPECIES: [], METHOD: [], PROTOCOL: [], REST: []}
    faults: dict[str, Findings] = {}
    for entry in entries:
        read, told = _read_table(entry.kind, entry.number, tables.line(entry), sources)
        found[entry.kind] += [] if read is None else [read]
        if told:
            faults.setdefault(entry.file, Findings()).found.extend(told)
    problems = (located(told, str(folder / file), _text(folder / file)) for file, told in faults.items())
    return Library(
        {species.latin: species for species in found[SPECIES]},
        tuple(found[PROTOCOL]),
        {draft.method: draft for draft in found[METHOD]},
        tuple(problem for told in problems for problem in told),
    )


@lru_cache(maxsize=2048)
def _read_table(
    kind: str, number: int, line: bytes, sources: frozenset[str] | None
) -> tuple[Species | Draft | None, Sequence[Fault]]:
    """What a table tells, and what is wrong with it; of where its figures come from, of these alone (None: of all)."""
    findings = Findings()
    values: dict[str, Any] = json.loads(line)
    if sources is not None:
        for told in (values, *values.get("step", ())):
            if "source" in told:
                told["source"] = {key: text for key, text in told["source"].items() if key in sources}
    if kind == REST:
        root = Table(values, (), findings)
        root.finish([key for key in (SPECIES, PROTOCOL) if root.tables(key)])
        return None, findings.found
    table = Table(values, (SPECIES if kind == SPECIES else PROTOCOL, number), findings)
    return read_species(table) if kind == SPECIES else read_draft(table, "library"), findings.found


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


@lru_cache(maxsize=4)
def species_names(folder: Path = FOLDER) -> tuple[tuple[str, ...], ...]:
    """The names of every species in the library, the Latin one first."""
    return tuple(tuple(entry.names) for entry in read_tables(folder).entries if entry.kind == SPECIES)


@lru_cache(maxsize=4)
def all_names(folder: Path = FOLDER) -> tuple[str, ...]:
    """Every Latin and common name in the library."""
    return tuple(dict.fromkeys(name for names in species_names(folder) for name in names))


@lru_cache(maxsize=4)
def _by_plain_name(folder: Path) -> Mapping[str, str]:
    """The names of the library by what is the same of each spelling; of two alike, the first."""
    return {plain(name): name for name in reversed(all_names(folder))}


def spelt(name: str, folder: Path = FOLDER) -> str:
    """The library's own spelling of a name, case and accents aside; nothing where the library lacks it."""
    return _by_plain_name(folder).get(plain(name), "")


def kinds_of(word: str, folder: Path = FOLDER) -> tuple[str, ...]:
    """The plants whose names hold a word whole, of the genus that has most of them: of "oak" every oak.

    By the name that holds it; an earth chestnut is no chestnut.
    """
    wanted = plain(word)
    by_genus: dict[str, list[str]] = {}
    for latin, *common in species_names(folder):
        found = next((name for name in common if wanted in plain(name).replace("-", " ").split()), None)
        if found is not None:
            by_genus.setdefault(latin.split()[0], []).append(found)
    most: list[str] = max(by_genus.values(), key=len) if by_genus else []
    return tuple(dict.fromkeys(most))


def meant(name: str, own: Iterable[str] = ()) -> str:
    """What may be meant by a name that no plant bears: which of its kind, or the nearest good spelling; or nothing."""
    if kinds := kinds_of(name):
        more = f" and {len(kinds) - _MANY} more" if len(kinds) > _MANY + 1 else ""
        told = kinds[:_MANY] if more else kinds
        return f"which {name}: {', '.join(told)}{more}?"
    near = nearest(name, (*own, *all_names()))
    return near if near.startswith("did you mean") else ""


def read_sources(folder: Path = FOLDER) -> dict[str, dict[str, Any]]:
    """The bibliography: author, year, title and publisher by key."""
    return tomli.loads(_text(folder / "sources.toml"))
