"""A place is meant by its own name or by a word that it serves for, in any case, accents aside."""

from __future__ import annotations

import pytest
import tomli

from engine.farm.model import Batch
from engine.farm.places import known_places, place_named, unlisted_work, unused_places
from engine.farm.reading import read_document
from engine.reading.frozen import replace
from tests.engine.records.farms import farm_of
from tests.engine.schedule.farms import NORTH

FARM = farm_of('[[place]]\nname = "châssis"\nserves = ["cold frame"]\n[[stock_plant]]\nid = "figs"\n'
               'species = "Fictus ripensis"\nplace = "wall"\ncount = 2\n')  # fmt: skip


@pytest.mark.parametrize(
    ("told", "place"),
    [
        ("châssis", "châssis"), ("CHASSIS", "châssis"), ("Cold  Frame", "châssis"), ("Wall", "wall"),
        ("mist bench", "mist bench"), ("barn", None), ("", None),
    ],
)  # fmt: skip
def test_a_place_is_found_by_any_of_its_words(told: str, place: str | None):
    assert place_named(FARM, told) == place


def test_where_something_stands_is_a_place_too_and_none_is_told_twice():
    assert place_named(FARM, "Barn", ["barn"]) == "barn"
    known = known_places(FARM, ["barn", "cold frame", ""])
    assert {"châssis", "wall", "barn"} <= set(known)
    assert "cold frame" not in known
    assert len(known) == len(set(known))


def test_a_place_that_no_step_uses_is_told_with_the_places_that_it_might_serve_for():
    farm = farm_of()
    stepped = {step.place for batch in farm.batches for step in batch.protocol.steps}
    assert {"cold store", "seed beds"} <= stepped
    cellar = replace(farm.places[0], name="root cellar", serves=())
    others = tuple(p for p in farm.places if p.name != "cold store")
    [told] = unused_places(replace(farm, places=(*others, cellar)))
    assert '"root cellar"' in told
    assert 'serves = ["cold store"]' in told
    assert unused_places(replace(farm, places=(*others, replace(cellar, serves=("cold store",))))) == []
    assert unused_places(replace(farm, places=(*others, cellar)), ["root cellar"]) == []
    assert unused_places(replace(farm, places=(*farm.places, cellar))) == [], "every step has a place of its own"


def test_standing_work_of_a_place_that_is_not_listed_is_told():
    places = '[[place]]\nname = "polytunnel"\nserves = ["cold frame"]\n'
    works = [f'[[standing]]\ndo = "{do}"\nplace = "{at}"\n' for do, at in (("air", "cold frame"), ("weed", "barn"))]
    [told] = unlisted_work(farm_of(places + "".join(works)))
    assert told.startswith('"weed" is standing work of "barn", which is not one of your places')


HAZEL = """
[[batch]]
id = "H"
species = "hazel"
method = "seed"
route = "held cold, sown in spring"
count = 9
start = 2026-09-01
"""


def batches_of(*lines: str) -> tuple[dict[str, Batch], list[str]]:
    hazels = (HAZEL.replace('"H"', f'"H{n}"') + line for n, line in enumerate(lines))
    text = NORTH + '[[place]]\nname = "cellar"\n' + "".join(hazels)
    reading = read_document(tomli.loads(text), text, "farm.toml")
    assert reading.farm is not None
    return {batch.id: batch for batch in reading.farm.batches}, [problem.message for problem in reading.problems]


def test_a_batch_of_the_file_stands_elsewhere_in_every_step_that_names_the_place_and_another_does_not():
    batches, problems = batches_of('places = {"cold store" = "cellar"}\n', "")
    assert problems == []
    places = {name: {step.place for step in batch.protocol.steps} for name, batch in batches.items()}
    assert "cellar" in places["H0"]
    assert "cold store" not in places["H0"]
    assert "cellar" not in places["H1"]
    assert "cold store" in places["H1"]


def test_a_place_in_which_no_step_stands_is_told():
    assert batches_of('places = {"cold stor" = "cellar"}\n')[1] == ['places: no step of it stands in "cold stor"']
    assert batches_of("places = 3\n")[1] == ["places is a table, not 3"]
    assert batches_of('places = {"cold store" = 3}\n')[1] == ["cold store is a text in quotes, not 3"]
