"""Where the ground freezes hard, no step asks for a spade in it: common practice."""

from __future__ import annotations

from datetime import date

from engine.almanac.almanac import Almanac
from engine.almanac.phrases import parse_phrase
from engine.almanac.several_windows import occurrences_of
from tests.engine.library.built import timed
from tests.engine.library.practice import site

FROM = date(2027, 7, 1).toordinal()
BEDS = ("seed beds", "nursery beds", "stool beds", "stock beds")
SPADE = (
    "lift",
    "lift transplants",
    "lift liners",
    "lift layers",
    "sow",
    "stick",
    "line out",
    "line out stocks",
    "plant",
)
SPADE += ("divide", "sever", "layer", "undercut", "peg down", "mound up", "cover")
THAW = 7
"""Days before the mean has risen to 2 degrees on which a light soil may already be open."""


def test_no_bed_is_dug_while_the_ground_is_frozen() -> None:
    almanac = Almanac(site("stcloud"))
    frozen = almanac.first_from(parse_phrase("ground freeze"), FROM)
    assert frozen is not None
    thawed = almanac.first_from(parse_phrase("ground freeze ends"), frozen)
    assert thawed is not None
    assert thawed - frozen > 90
    wrong, seen = [], 0
    for one in timed():
        here = almanac.for_species(one.species.marks) if one.species else almanac
        for where, step in one.steps():
            if step.do in SPADE and step.place in BEDS and (spans := occurrences_of(here, step.windows)) is not None:
                seen += 1
                wrong += [where for s in spans.between(frozen + 1, thawed - THAW - 1)]
    assert wrong == []
    assert seen > 500
