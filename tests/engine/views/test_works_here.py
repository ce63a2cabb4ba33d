"""What works here: counts by hand, and each range against an independent score interval."""

from __future__ import annotations

import pytest
from scipy.stats import binomtest

from engine.journal.entry import Entry
from engine.needs.planting_outlook import grown_of
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.views.planting import planting_view
from engine.views.works_here import Share, Works, works_here
from tests.engine.needs.homes import farm
from tests.engine.schedule.farms import day, entry

ORCHARD = """
[[planting]]
name = "orchard"
planted = 2020-11-20
form = "bare root"
[[planting.position]]
id = "T"
species = "Arbor ficta"
at_m = [0.0, 0.0]
count = 10
spacing_m = 12
bearing_years = [3, 5]
"""


def walk(n: int, state: str, on: str = "2030-07-01", **more: str) -> Entry:
    return entry(on, "walked", batch="", planting="orchard", position=f"T.{n}", state=state, **more)


def found(*walks: Entry) -> list[Works]:
    home = farm(ORCHARD)
    nursery = open_nursery(home, apply(home, walks))
    grown = grown_of(home, nursery.records)
    views = [planting_view(nursery, each, day("2030-08-01"), grown) for each in home.plantings]
    return list(works_here(home, views, day("2030-08-01")))


def test_what_lived_and_what_bears_is_counted_whole_and_by_guard():
    walks = [
        *(walk(n, "guard on", "2021-07-01") for n in range(1, 8)),
        *(walk(n, "guard off", "2021-07-01") for n in range(8, 11)),
        *(walk(n, "bearing") for n in range(1, 6)),
        walk(6, "alive"),
        walk(7, "dead", "2024-07-01", cause="drought"),
        *(walk(n, "dead", "2022-07-01", cause="browsed") for n in (8, 9)),
        walk(10, "dead", "2025-07-01", cause="thinned"),
    ]
    told = {(each.by, each.value): each for each in found(*walks)}
    whole = told["", ""]
    assert (whole.lived, whole.bear) == (Share(9, 6), Share(6, 5))  # what was thinned says nothing
    assert whole.first == (pytest.approx(9.6, abs=0.1),) * 2
    assert told["guard", "on"].lived == Share(7, 6)
    assert told["guard", "off"].lived == Share(2, 0)
    assert not told["guard", "off"].lived.enough
    assert ("light", "open") not in told  # all stand open: nothing is compared


def test_nothing_is_told_before_a_year_is_over():
    assert found() == []
    assert found(walk(1, "alive", "2021-01-05")) == []


@pytest.mark.parametrize(("count", "of"), [(0, 7), (3, 9), (8, 11), (25, 30), (30, 30)])
def test_the_range_is_wilsons(count: int, of: int):
    """Against scipy's own Wilson interval of a binomial proportion."""
    known = binomtest(count, of).proportion_ci(0.9, method="wilson")
    assert Share(of, count).range == pytest.approx((known.low, known.high), abs=1e-4)
