"""Reading only what a farm needs gives what reading the whole library gives, in less time."""

from __future__ import annotations

from collections.abc import Iterable
from time import perf_counter

import pytest

from engine.protocols import library as reader
from engine.protocols.library import Library, read_library
from engine.protocols.model import Protocol
from tests.engine.library.built import built, library
from tests.sampled import sampled


def protocols(lib: Library, species: str, methods: Iterable[str]) -> dict[tuple[str, str], Protocol]:
    return {(d.method, d.route): lib.protocol(d) for method in methods for d in lib.of(species, method)}


@pytest.mark.parametrize("genus", sampled(sorted({latin.split()[0] for latin in library().species}), 8))
def test_a_species_read_alone_is_what_it_is_in_the_whole(genus: str) -> None:
    for latin, species in library().species.items():
        if latin.split()[0] != genus:
            continue
        methods = sorted({d.method for d in library().drafts if d.species == latin})
        whole = protocols(library(), latin, methods)
        assert whole
        for name in (latin, species.name):
            part = read_library({name: methods})
            assert part.problems == ()
            assert part.find_species(name) == species
            assert protocols(part, latin, methods) == whole


def test_one_method_of_one_species_is_read_without_the_others() -> None:
    part = read_library({"elder": ["hardwood cutting"]})
    whole = library().of("Sambucus nigra", "hardwood cutting")
    assert [part.protocol(d) for d in part.of("Sambucus nigra", "hardwood cutting")] == [
        library().protocol(d) for d in whole
    ]
    assert len(part.drafts) < 10
    assert set(part.methods) == {"hardwood cutting"}


def test_a_method_is_found_by_its_other_names() -> None:
    others = [(other, name) for name, draft in library().methods.items() for other in draft.also]
    assert others
    for other, name in others:
        assert read_library({"elder": [other]}).method_name(other) == name


def test_a_whole_farms_species_are_what_they_are_in_the_whole() -> None:
    wanted = {"Sambucus nigra", "Corylus avellana", "Pyrus communis", "Ribes nigrum", "Rheum x hybridum", "apple"}
    methods = set(library().methods)
    part = read_library(dict.fromkeys(wanted, methods))
    assert {"Sambucus nigra", "Corylus avellana", "Pyrus communis", "Malus domestica"} <= set(part.species)
    for latin in part.species:
        assert protocols(part, latin, methods) == protocols(library(), latin, methods)


def test_time_to_read() -> None:
    """Told, not judged: the machine may be busy."""
    taken = {}
    for name, wanted, methods in (
        ("everything", None, None),
        (
            "a farm of four",
            {"elder", "hazel", "pear", "medlar"},
            {"hardwood cutting", "seed", "bench graft", "chip bud"},
        ),
    ):
        reader._read_table.cache_clear()
        began = perf_counter()
        read = read_library(wanted and dict.fromkeys(wanted, methods))
        taken[name] = perf_counter() - began
        assert read.drafts
    print("; ".join(f"{name}: {seconds * 1000:.0f} ms" for name, seconds in taken.items()))
    assert len(built()) == len(library().drafts) + len(library().methods)


@pytest.mark.parametrize(
    ("name", "latin"),
    [
        ("Fragaria × ananassa", "Fragaria x ananassa"),
        ("Allium × proliferum", "Allium x proliferum"),
        ("FRAGARIA X ANANASSA", "Fragaria x ananassa"),
        ("pehuen", "Araucaria araucana"),
        ("garden  strawberry", "Fragaria x ananassa"),
    ],
)
def test_a_name_in_another_spelling_is_read_as_by_its_latin_name(name: str, latin: str) -> None:
    part, plain = read_library({name: ["seed", "division"]}), read_library({latin: ["seed", "division"]})
    found = part.find_species(name)
    assert found is not None
    assert found.latin == latin
    assert part == plain


def test_one_species_in_two_spellings_is_read_by_the_methods_of_both() -> None:
    part = read_library({"Fragaria x ananassa": ["seed"], "Fragaria × ananassa": ["division"]})
    assert part == read_library({"Fragaria x ananassa": ["seed", "division"]})
    assert read_library({"Fragaria x ananassa": ["seed"], "garden  strawberry": None}).of(
        "Fragaria x ananassa", "division"
    ) == library().of("Fragaria x ananassa", "division")


def test_the_name_of_a_farms_own_species_is_not_sought_in_another_spelling() -> None:
    assert read_library({"pehuen": ()}, own=("pehuen",)).species == {}
