"""How much of the library there is, and how much of it rests on something published.

`python -m tests.benchmarks.library_figures` prints species, protocols and methods; by kind of figure how many there are
and how many are cited, over all species and over the hundred most grown, each figure counted once for every protocol
that follows it (what a method says counts for each species that takes it over); and of the published rows in
tests/reference how many a protocol meets. What is published is told apart: the plant's own, or its genus'; a rule that
stands for many kinds (the same words serve more than one genus); what is borrowed from another kind or season.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from functools import lru_cache

from engine.protocols.model import Step
from tests.engine.library.built import Built, library, of_species
from tests.engine.library.test_published import SEASONS, TREATMENTS, compared, concerned, season
from tests.engine.library.test_yields import YIELDS
from tests.reference.tables import rows

UNPUBLISHED = ("common practice", "from memory")
BORROWED = ("taken for", "of the genus")
KINDS = {
    "survive": "shares that survive",
    "opens": "openings",
    "closes": "closings",
    "lasts_days": "days that something lasts",
    "wait_days": "days of wait",
    "temperature_c": "temperatures",
    "room": "room taken",
    "per_hour": "hourly rates",
}


def figures(step: Step) -> Iterator[tuple[str, str]]:
    """A step's figures by kind, each with its source. Several windows are one opening and one closing."""
    for key, text in step.source.items():
        if key == "windows":
            yield from (("opens", text), ("closes", text))
        elif key in KINDS:
            yield key, text


@lru_cache(maxsize=1)
def stand() -> dict[str, set[tuple[str, bool]]]:
    """The genera for which each citation stands, and whether they are woody."""
    served: dict[str, set[tuple[str, bool]]] = {}
    for one in of_species():
        for _, step in one.steps():
            for _, text in figures(step):
                served.setdefault(text, set()).add((one.draft.species.split()[0], woody(one)))
    return served


def woody(one: Built) -> bool:
    assert one.species is not None
    return one.species.form not in ("perennial", "herb")


def whose(one: Built, text: str) -> str:
    """Of whom a citation speaks: what is said of trees and shrubs is borrowed where it serves a herb."""
    if text.startswith(UNPUBLISHED):
        return "unpublished"
    served = stand()[text]
    of_woody = any(wood for _, wood in served)
    if any(words in text for words in BORROWED) or (of_woody and not woody(one)):
        return "borrowed"
    return "a rule" if len({genus for genus, _ in served}) > 1 else "its own"


def count(protocols: Iterable[Built]) -> dict[str, Counter[str]]:
    """By kind of figure: of whom those figures speak."""
    told: dict[str, Counter[str]] = {kind: Counter() for kind in KINDS}
    for one in protocols:
        for _, step in one.steps():
            for kind, text in figures(step):
                told[kind][whose(one, text)] += 1
    return told


def show(title: str, protocols: Iterable[Built]) -> None:
    print(f"\n{title}")
    for kind, told in count(protocols).items():
        every = told.total()
        published = every - told["unpublished"]
        share = 100 * published / every if every else 0
        print(f"  {KINDS[kind]:26} {every:6}  published {published:6}  {share:3.0f} %:", end="")
        print(f" {told['its own']} its own or its genus'", end="")
        print(f", {told['a rule']} a rule for many kinds, {told['borrowed']} borrowed")


def main() -> None:
    lib = library()
    grown = {row["species"] for row in rows("most_grown")}
    print(f"{len(lib.species)} species, {len(of_species())} protocols, {len(lib.methods)} methods")
    show("all species", of_species())
    show("the hundred most grown", [one for one in of_species() if one.draft.species in grown])
    pairs = list(compared())
    met = sum(any(months & season(row) for _, months in concerned(row)) for row in SEASONS)
    print(f"\n{len(TREATMENTS)} published rows of warm and cold: {len(pairs)} periods compared", end="")
    print(f", {sum(p.overlaps for p in pairs)} overlap, {sum(p.inside for p in pairs)} lie inside")
    print(f"{len(SEASONS)} published seasons: {met} are those of a protocol")
    counts = len(rows("seed_counts_published"))
    print(f"{len(YIELDS)} published yields and {counts} seed counts, which the tests ask one by one")


if __name__ == "__main__":
    main()
