"""What stands in a pot goes out, or is stood out, into summer: its roots come along. Bare roots wait for no leaf.

Common practice; for Iowa, May is named as the best time (Reiman Gardens 2017, Planting containerized trees and shrubs).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest

from engine.almanac.almanac import Almanac
from engine.almanac.phrases import parse_phrase
from engine.almanac.several_windows import occurrences_of
from engine.protocols.model import Step
from tests.engine.library.built import Built, timed
from tests.engine.library.practice import site
from tests.sampled import sampled

EARLY_SUMMER = parse_phrase("longest day + 2 weeks")
FROM = date(2027, 1, 1).toordinal()
SET_OUT = ("line out", "stand out", "plant", "sort")


def from_pots() -> Iterator[tuple[Built, Step]]:
    """Each step that sets plants out of pots, or the pots themselves."""
    for one in timed():
        form = one.protocol.form
        for step in one.protocol.steps:
            if form == "pot" and step.do in SET_OUT and step.windows:
                yield one, step
            form = step.form or form


@pytest.mark.parametrize("place", sampled(["seatac", "stcloud", "ballarat"], 3))
def test_what_stands_in_a_pot_may_go_out_into_early_summer(place: str) -> None:
    almanac = Almanac(site(place))
    wrong, seen = [], 0
    for one, step in from_pots():
        spans = occurrences_of(almanac.for_species(one.species.marks) if one.species else almanac, step.windows)
        assert spans is not None
        span, summer = spans.from_day(FROM), almanac.first_from(EARLY_SUMMER, spans.from_day(FROM).opens)
        seen += 1
        if summer is None or span.closes < summer:
            wrong.append(f"{one.title}: {step.do} closes {date.fromordinal(span.closes)}")
    assert wrong == []
    assert seen > 30
