"""What a species shares with all others is dated once for the site, and as it would date it by itself."""

from __future__ import annotations

from datetime import date

import pytest

from engine.almanac.almanac import Almanac, Sighting, Site
from engine.almanac.marks import Definitions, read_definition
from engine.almanac.phrases import Phrase, parse_phrase
from engine.almanac.several_windows import occurrences_of
from engine.almanac.windows import Window, spans_of
from engine.reading.frozen import replace
from tests.engine.almanac.test_normal_year import CLIMATES, site
from tests.engine.almanac.test_windows import NORTH, SOUTH

FARM = {"hedge dry": {"latest": ["bud swell + 2 weeks", "soil workable"]}, "leaf drop": "first frost + 5 weeks"}
SPECIES: dict[str, dict[str, object]] = {
    "earlier buds": {"bud swell": "bud swell - 3 weeks"},
    "later leaves": {"leaf drop": "leaf drop + 2 weeks", "softwood firm": "bud swell + 9 weeks"},
    "a mark of its own": {"nuts ripe": {"earliest": ["first frost", "leaf drop - 4 weeks"]}},
    "frost of its own": {"first frost": "1 Nov"},
    "frozen ground": {"ground freeze": {"earliest": ["first frost + 4 weeks"], "where_comes": "soil cold"}},
}
SEEN = (Sighting("bud swell", date(2026, 3, 20)), Sighting("leaf drop", date(2026, 11, 20)))


def marks(written: dict[str, object]) -> Definitions:
    return {name: read_definition(value) for name, value in written.items()}


NORTHERN = next(place for place, row in CLIMATES.items() if float(row["latitude"]) > 40)
SITES = {
    "north": replace(NORTH.site, marks=marks(FARM)),
    "south": replace(SOUTH.site, marks=marks(FARM)),
    "with temperatures": replace(
        site(NORTHERN), marks=marks(FARM), last_frost=NORTH.site.last_frost, first_frost=NORTH.site.first_frost
    ),
}


@pytest.mark.parametrize("place", SITES.values(), ids=SITES.keys())
@pytest.mark.parametrize("seen", [(), SEEN], ids=["nothing seen", "two marks seen"])
def test_a_species_dates_every_mark_as_if_it_shared_nothing(place: Site, seen: tuple[Sighting, ...]):
    site = Almanac(place, seen)
    for which, own in SPECIES.items():
        shared, alone = site.for_species(marks(own)), Almanac(place, seen, marks(own))
        assert shared.mark_names() == alone.mark_names()
        for name in alone.mark_names():
            phrase = parse_phrase(name)
            assert [shared.occurrence(phrase, k) for k in range(2022, 2032)] == [
                alone.occurrence(phrase, k) for k in range(2022, 2032)
            ], (which, name)


def windows(*phrases: str) -> tuple[Window, ...]:
    return tuple(Window((parse_phrase(phrase),), (parse_phrase("longest day"),)) for phrase in phrases)


def test_windows_that_rest_on_nothing_of_its_own_are_found_once_for_all_species():
    common = Almanac(NORTH.site)
    one, other = (common.for_species(marks(SPECIES[name])) for name in ("earlier buds", "later leaves"))
    [same] = windows("last frost - 5 weeks")
    assert spans_of(one, same) is spans_of(other, same) is spans_of(common, same)
    [buds] = windows("deep dormancy ends")  # it rests on the swelling of the buds
    assert spans_of(one, buds) is not spans_of(common, buds)
    assert spans_of(other, buds) is spans_of(common, buds)
    both = windows("last frost - 5 weeks", "deep dormancy ends")
    assert occurrences_of(other, both) is occurrences_of(common, both)
    assert occurrences_of(one, both) is not occurrences_of(common, both)


def test_a_phrase_that_rests_on_no_mark_is_common():
    common = Almanac(NORTH.site)
    species = common.for_species(marks(SPECIES["earlier buds"]))
    phrases: list[Phrase] = [parse_phrase(text) for text in ("15 Mar", "day length rises to 11 h", "longest day")]
    assert species.common_to(phrases) is common
    assert species.common_to([*phrases, parse_phrase("bud swell")]) is species
    assert common.for_species({}) is common
