"""How much of the library there is, and how much of it rests on something published.

`python -m tests.benchmarks.library_figures` prints species, protocols and methods; by kind of figure how many there are
and how many are cited, over all species and over the hundred most grown, each figure counted once for every protocol
that follows it (what a method says counts for each species that takes it over); and of the published rows in
tests/reference how many a protocol meets.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

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


def count(protocols: Iterable[Built]) -> tuple[Counter[str], Counter[str], Counter[str]]:
    """By kind of figure: how many there are, how many are published, and how many of those for another plant."""
    every: Counter[str] = Counter()
    published: Counter[str] = Counter()
    borrowed: Counter[str] = Counter()
    for one in protocols:
        for _, step in one.steps():
            for kind, text in figures(step):
                every[kind] += 1
                known = not text.startswith(UNPUBLISHED)
                published[kind] += known
                borrowed[kind] += known and any(words in text for words in BORROWED)
    return every, published, borrowed


def show(title: str, protocols: Iterable[Built]) -> None:
    print(f"\n{title}")
    every, published, borrowed = count(protocols)
    for kind, words in KINDS.items():
        share = 100 * published[kind] / every[kind] if every[kind] else 0
        other = f", {borrowed[kind]} of them for another kind or season" if borrowed[kind] else ""
        print(f"  {words:26} {every[kind]:6}  published {published[kind]:6}  {share:3.0f} %{other}")


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
