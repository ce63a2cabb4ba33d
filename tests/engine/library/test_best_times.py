"""The best time of a step ends within its window, wherever it is done: a time that ends after the close tells nothing,
and one that has passed before the window opens is last year's.
"""

from __future__ import annotations

from datetime import date
from itertools import product

from engine.almanac.almanac import Almanac, NeverComes
from engine.almanac.several_windows import occurrences_of
from tests.engine.library.built import timed
from tests.engine.library.practice import site

FROM = date(2027, 1, 1).toordinal()
WARM = ("stcloud", "ithaca", "seatac", "salisbury_nc", "reading_uk", "dundee", "ballarat")
FROST_ALONE = ("stcloud", "reading_uk", "dunedin")
"""Cold, mild and warm, of both halves of the globe."""


def test_every_best_time_ends_within_its_window() -> None:
    wrong, seen = set(), 0
    for place, warm in (*product(WARM, (True,)), *product(FROST_ALONE, (False,))):
        almanac = Almanac(site(place, warm))
        for one in timed():
            here = almanac.for_species(one.species.marks) if one.species else almanac
            for where, step in one.steps():
                if not step.best_until or (spans := occurrences_of(here, step.windows)) is None:
                    continue
                try:
                    span = spans.from_day(FROM)
                except NeverComes:
                    continue
                days = [day for p in step.best_until if (day := here.first_from(p, span.opens)) is not None]
                seen += 1
                if days and min(days) >= span.closes:
                    wrong.add(f"{where}, at {place}: best until {date.fromordinal(min(days))}, closes {span.closer}")
    assert sorted(wrong) == []
    assert seen > 1000
