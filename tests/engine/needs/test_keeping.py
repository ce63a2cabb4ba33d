"""Bare roots in a shed are promised only to what is wanted while they live.

Common practice: lifted stock is held cool and moist until its buds swell, then planted, potted or thrown away.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from engine.almanac.almanac import date_of
from engine.almanac.phrases import parse_phrase
from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.needs.keeping import lapses
from engine.schedule.plan import Day
from engine.views.week import week_view
from tests.engine.needs.homes import covered, farm, need, opened, stock
from tests.engine.schedule.farms import entry

LIFTED = "2026-10-19"
SHED = '[[place]]\nname = "shed"\nunder_cover = true\n'


def home(*needs: str, form: str = "bare root") -> Farm:
    return farm(stock("S", 50, form), SHED, *needs)


def moved(to: str = "shed", form: str = "bare root") -> Entry:
    return entry(LIFTED, "move", batch="", lot="S", form=form, grade="", place="bed", count=50, to=to)


def end_of(here: Farm) -> date:
    nursery, _ = opened(here, LIFTED, moved())
    almanac, new_year = nursery.almanac_for("Arbor ficta"), date(2027, 1, 1).toordinal()
    swell = date_of(almanac.first_from(parse_phrase("bud swell"), new_year))
    assert swell is not None
    return swell + timedelta(28)


@pytest.mark.parametrize(
    ("to", "form", "days", "there"),
    [
        ("shed", "bare root", 0, 20),
        ("shed", "bare root", 1, 0),
        ("frame", "bare root", 300, 20),
        ("shed", "pot", 300, 20),
    ],
)
def test_what_lies_in_a_shed_is_promised_until_four_weeks_after_bud_swell(to: str, form: str, days: int, there: int):
    by = end_of(home()) + timedelta(days)
    whole = home(need("N", 20, by=by.isoformat(), form=form), form=form)
    (line,) = covered(whole, "2026-12-01", moved(to, form)).needs
    assert sum(part.count for part in line.parts) == there
    assert bool(line.lapses) == (not there)
    assert all(told.startswith("bare-root plants in the shed keep until") for told in line.lapses)


@pytest.mark.parametrize(("days", "said"), [(-57, ""), (-30, "keep until"), (1, "kept until")])
def test_the_week_and_the_stock_warn_before_they_are_lost(days: int, said: str):
    here = home(need("N", 5, form="bare root"))
    today = end_of(here) + timedelta(days)
    nursery, plans = opened(here, today.isoformat(), moved())
    told = lapses(nursery, today)
    assert [said in each for each in told] == [True] * bool(said)
    assert week_view(Day(nursery, plans, today)).lapses == told
    view = covered(here, today.isoformat(), moved()).stock
    assert set(told) <= set(view.troubles)


def test_what_has_outlived_its_keeping_is_promised_to_no_one():
    here = home('[[need]]\nid = "N"\nspecies = "Arbor ficta"\ncount = 5\nform = "bare root"\n')
    end = end_of(here)
    ready = [covered(here, (end + timedelta(n)).isoformat(), moved()).needs[0].short for n in (0, 1)]
    assert ready == [0, 5]
