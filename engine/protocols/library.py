"""The library of species and protocols: one file for each method, and one for each genus or family.

Only the files that a farm needs are read: reading all of them takes longer than drawing the board.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

import tomli

from engine.protocols import LIBRARY as FOLDER
from engine.protocols.model import Protocol, Species
from engine.protocols.names import plain, same_name
from engine.protocols.reading import Draft, build, read_draft, read_species
from engine.reading.frozen import dataclass, field
from engine.reading.problems import Findings, Problem, located
from engine.reading.table import Table


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
        """The drafts of a species by a method, one for each route."""
        return tuple(d for d in self.drafts if d.species == species and d.method == method)

    def protocol(self, draft: Draft) -> Protocol:
        """A library protocol, laid over the generic method that it refines."""
        return build(self.layers(draft), draft.species, self.methods.get(draft.method))

    def layers(self, draft: Draft) -> list[Draft]:
        """The drafts that make a protocol, the generic method undermost."""
        generic = self.methods.get(draft.method)
        return [draft] if draft.whole or generic is None or generic is draft else [generic, draft]


def read_library(
    wanted: Mapping[str, Collection[str] | None] | None = None,
    sources: Collection[str] | None = None,
    folder: Path = FOLDER,
    own: Collection[str] = (),
) -> Library:
    """Read the library: all of it, or what tells of the wanted species (Latin or common), each by its methods.

    No methods (`()`): the species alone; None: every method. Where `sources` names figures, only theirs are read: where
    the figures come from is half of the text. Names that are not spelt as here are found as `same_name` has them, but
    for those in `own`, which a farm gives to species of its own.
    """
    named = () if wanted is None else wanted.values()
    methods = None if wanted is None or None in named else {method for each in named for method in each or ()}
    texts = _texts(folder / "methods") if methods != set() else []
    general = [_read_file(path, _told(text, sources)) for path, text in texts if _wanted(text, methods)]
    generic = {name: draft for part in general for name, draft in part.methods.items()}
    texts = _texts(folder / "species")
    if wanted is not None:
        texts, wanted = _speaking_of(texts, wanted, folder, own)
        texts = [(path, _relevant(text, wanted, generic)) for path, text in texts]
    parts = [_read_file(path, _told(text, sources)) for path, text in texts]
    species = {latin: found for part in parts for latin, found in part.species.items()}
    drafts = tuple(draft for part in parts for draft in part.drafts)
    return Library(species, drafts, generic, tuple(p for part in (*general, *parts) for p in part.problems))


@lru_cache(maxsize=4)
def read_methods(folder: Path = FOLDER) -> Mapping[str, Draft]:
    """Every general method by its settled name."""
    parts = [_read_file(path, text) for path, text in _texts(folder / "methods")]
    return {name: draft for part in parts for name, draft in part.methods.items()}


def _texts(folder: Path) -> list[tuple[str, str]]:
    return [(str(path), path.read_text(encoding="utf-8")) for path in sorted(folder.glob("*.toml"))]


def _speaking_of(
    texts: list[tuple[str, str]], wanted: Mapping[str, Collection[str] | None], folder: Path, own: Collection[str]
) -> tuple[list[tuple[str, str]], Mapping[str, Collection[str] | None]]:
    """The files that tell of one of the wanted species; and what is wanted.

    A name that is spelt otherwise than here (accents, the hybrid sign, spaces) is wanted by its Latin name too.
    """
    home: dict[str, int] = {}
    for n, (_, text) in enumerate(texts):
        for piece in text.split('\nlatin = "')[1:]:
            home[piece[: piece.index('"')]] = n
    kept = {home[term] for term in wanted if term in home}
    other = [term for term in wanted if term and term not in home]  # a common name, or one in another case
    lowered = [text.lower() for _, text in texts] if other else []
    meant = dict(wanted)
    for term in other:
        if here := {n for n, text in enumerate(lowered) if f'"{term.lower()}"' in text}:
            kept |= here
        for latin in () if here or term in own else _latin_by_name(folder).get(plain(term), ()):
            kept.add(home[latin])
            mine, more = meant.get(latin, ()), wanted[term]
            meant[latin] = None if mine is None or more is None else {*mine, *more}
    return [texts[n] for n in sorted(kept)], meant


def _wanted(text: str, terms: Iterable[str] | None) -> bool:
    lowered = text.lower()
    return terms is None or any(f'"{term.lower()}"' in lowered for term in terms if term)


def _relevant(text: str, wanted: Mapping[str, Collection[str] | None], generic: Mapping[str, Draft]) -> str:
    """Only the tables of a file that speak of these species by these methods: reading TOML is what takes the time."""
    species: list[str] = []
    protocols: list[str] = []
    for piece in ("\n" + text).split("\n[[")[1:]:
        if piece.startswith("species]]"):
            species.append(f"[[{piece}\n")
        elif piece.startswith("protocol]]"):
            protocols.append(f"[[{piece}\n")
        else:
            protocols[-1] += f"[[{piece}\n"
    kept: list[str] = []
    heads: set[str] = set()
    """How the tables of the protocols begin that are meant."""
    settled = Library(methods=dict(generic)).method_name
    quoted = [(term, f'"{term.lower()}"') for term in wanted if term]
    for table in species:
        lowered = table.lower()
        terms = [term for term, name in quoted if name in lowered]
        latin = table.split('latin = "', 1)[-1].split('"', 1)[0]
        if terms:
            kept.append(table)
        for term in terms:
            methods = wanted[term]
            names = generic if methods is None else map(settled, methods)
            heads.update(f'[[protocol]]\nspecies = "{latin}"\nmethod = "{name}"\n' for name in names)
    return "".join((*kept, *(table for table in protocols if table.startswith(tuple(heads)))))


def _told(text: str, sources: Collection[str] | None) -> str:
    """A text of the library, which says where its figures come from of these alone; None: of all."""
    if sources is None:
        return text
    kept = re.compile(rf'\b(?:{"|".join(sources)}) = "[^"]*"')
    return re.sub(r"(?m)^source = .*$", lambda line: f"source = {{{', '.join(kept.findall(line[0]))}}}", text)


@lru_cache(maxsize=4)
def species_names(folder: Path = FOLDER) -> tuple[tuple[str, ...], ...]:
    """The names of every species in the library, the Latin one first, found without reading the protocols."""
    found: list[tuple[str, ...]] = []
    for path in sorted((folder / "species").glob("*.toml")):
        text = path.read_text(encoding="utf-8")
        for key, names in re.findall(r"(?m)^(latin|common)\s*=\s*(\[[^\]]*\]|\"[^\"]*\")", text):
            told = tuple(re.findall(r'"([^"]+)"', names))
            if key == "latin":
                found.append(told)
            elif found:
                found[-1] += told
    return tuple(found)


@lru_cache(maxsize=4)
def _latin_by_name(folder: Path) -> dict[str, tuple[str, ...]]:
    """The Latin names of the species that bear a name, by that name as `same_name` takes it."""
    found: dict[str, tuple[str, ...]] = {}
    for names in species_names(folder):
        for name in {plain(name) for name in names}:
            found[name] = (*found.get(name, ()), names[0])
    return found


@lru_cache(maxsize=4)
def all_names(folder: Path = FOLDER) -> tuple[str, ...]:
    """Every Latin and common name in the library."""
    return tuple(dict.fromkeys(name for names in species_names(folder) for name in names))


@lru_cache(maxsize=256)
def _read_file(path: str, text: str) -> Library:
    findings = Findings()
    document: dict[str, Any] = tomli.loads(text)
    root = Table(document, (), findings)
    species = [s for t in root.tables("species") if (s := read_species(t)) is not None]
    drafts = [d for t in root.tables("protocol") if (d := read_draft(t, "library")) is not None]
    root.finish()
    problems = located(findings, path, text)
    return Library(
        {s.latin: s for s in species},
        tuple(d for d in drafts if d.species),
        {d.method: d for d in drafts if not d.species},
        problems,
    )


def read_sources(folder: Path = FOLDER) -> dict[str, dict[str, Any]]:
    """The bibliography: author, year, title and publisher by key."""
    return tomli.loads((folder / "sources.toml").read_text(encoding="utf-8"))
