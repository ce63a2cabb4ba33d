"""Levelling: what is put off, that it stays in its windows, and how near it comes to the best there is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from itertools import product

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from engine.farm.reading import read_document
from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import Day, Plan, plan_all
from engine.views.level import Levelled, counted_on, level
from engine.views.year import year_view
from tests.engine.schedule.farms import NORTH
from tests.sampled import examples

TODAY = date(2027, 1, 4)
"""A Monday."""
FIRST = date(2027, 3, 1)
"""Another: the day on which every bed is open."""

Job = tuple[int, int]
"""Hours, and how many weeks the window is open."""


def nursery(jobs: list[Job], hours: float | str | None = 10, more: str = "") -> Nursery:
    """A farm of one-act lots that all may be lifted from the first of March on."""
    text = (f"[farm]\nhours_per_week = {hours}\n" if hours is not None else "") + NORTH
    for n, (work, weeks) in enumerate(jobs):
        closes = FIRST + timedelta(7 * weeks - 1)
        text += f'[[protocol]]\nspecies = "Arbor ficta {n}"\nmethod = "division"\nwhole = true\n'
        text += f'[[protocol.step]]\ndo = "divide"\nopens = ["1 Mar"]\ncloses = ["{closes.day} {closes:%b}"]\n'
        text += f"per_hour = 1\n{more}"
        text += f'[[batch]]\nid = "J{n}"\nspecies = "Arbor ficta {n}"\nmethod = "division"\n'
        text += f"count = {work}\nstart = {TODAY}\n"
    reading = read_document(tomli.loads(text), text, "jobs.toml")
    assert reading.farm is not None
    assert not reading.problems, reading.problems
    return open_nursery(reading.farm, apply(reading.farm, ()))


def levelled(home: Nursery, kept: Mapping[str, date] | None = None) -> tuple[Levelled, tuple[Plan, ...]]:
    plans = plan_all(home, TODAY)
    day = Day(home, plans, TODAY)
    return level(day, year_view(day), kept), plans


def loads(found: Levelled) -> list[float]:
    first = found.after.week_of(FIRST) or 0
    return [week.hours for week in found.after.weeks[first : first + 6]]


def test_what_is_too_much_for_one_week_is_put_off_to_the_next():
    found, _ = levelled(nursery([(6, 3), (5, 3), (4, 3)]))
    assert [(each.lot, each.was, each.to) for each in found.puttings] == [("J0", FIRST, FIRST + timedelta(7))]
    assert loads(found)[:3] == [9, 6, 0]
    before, after = found.fullest
    assert (before.hours, after.hours) == (15, 9)


def test_a_week_that_is_not_too_full_is_left_as_it_is():
    found, _ = levelled(nursery([(5, 3), (5, 3)]))
    assert found.puttings == ()
    assert found.after == found.before


def test_a_month_without_a_limit_is_never_too_full():
    """Twenty hours a week are there in June, and of March nothing is said: nothing is put off from it."""
    found, _ = levelled(nursery([(5, 3), (5, 3)], hours="{ jun = 20 }"))
    assert found.puttings == ()


def test_where_the_farm_names_no_hours_the_fullest_week_is_eased_while_it_can_be():
    found, _ = levelled(nursery([(4, 2), (4, 2)], hours=None))
    assert loads(found)[:2] == [4, 4]


def test_what_cannot_wait_stays():
    found, _ = levelled(nursery([(8, 1), (7, 1)]))
    assert found.puttings == ()
    assert found.fullest[1].hours == 15


def test_an_act_is_not_put_off_beyond_its_best_time():
    found, _ = levelled(nursery([(8, 4), (7, 4)], more='best_until = ["10 Mar"]\n'))
    assert {each.to for each in found.puttings} == {FIRST + timedelta(7)}
    found, _ = levelled(nursery([(8, 4), (7, 4)], more='best_until = ["5 Mar"]\n'))
    assert found.puttings == ()


def test_a_lot_that_a_need_counts_on_is_ready_by_its_day():
    home = nursery([(8, 3), (7, 3)])
    assert [each.lot for each in levelled(home)[0].puttings] == ["J0"]
    assert [each.lot for each in levelled(home, {"J0": FIRST + timedelta(6)})[0].puttings] == ["J1"]
    assert levelled(home, {"J0": FIRST + timedelta(6), "J1": FIRST})[0].puttings == ()


def test_a_need_counts_on_the_first_of_its_days():
    day, later = date(2027, 4, 1), date(2027, 5, 1)
    assert counted_on([(later, [("A", 3), ("B", 1)]), (day, [("A", 2)]), (None, [("C", 9)])]) == {"A": day, "B": later}


JOBS = st.lists(st.tuples(st.integers(1, 9), st.integers(1, 4)), min_size=1, max_size=5)


@examples(40)
@given(jobs=JOBS)
def test_nothing_leaves_its_window_no_hour_is_lost_and_no_week_gets_fuller_than_the_fullest_was(jobs: list[Job]):
    home = nursery(jobs)
    found, plans = levelled(home)
    by_lot = {plan.lot.id: plan for plan in plans}
    for each in found.puttings:
        last = by_lot[each.lot].now.latest[0]
        assert last is not None
        assert each.was < each.to <= date.fromordinal(last)
    assert sum(loads(found)) == sum(work for work, _ in jobs)
    before, after = found.fullest
    assert after.hours <= before.hours
    # Never better than the best of all ways to share the acts out among their weeks.
    best = min(
        max(sum(work for (work, _), week in zip(jobs, choice, strict=True) if week == n) for n in range(4))
        for choice in product(*(range(weeks) for _, weeks in jobs))
    )
    assert after.hours >= best


@pytest.mark.parametrize(
    ("jobs", "best"),
    [([(6, 2), (6, 2)], 6), ([(9, 3), (8, 2), (7, 1)], 9), ([(5, 4)] * 6, 10), ([(3, 3)] * 9, 9), ([(9, 4)] * 4, 9)],
)
def test_the_fullest_week_is_as_light_as_it_can_be_where_a_few_steps_lead_there(jobs: list[Job], best: int):
    """The best by hand; ten hours a week are there."""
    found, _ = levelled(nursery(jobs))
    assert found.fullest[1].hours == best


def test_what_was_missed_is_not_put_off_unseen():
    """Both weeks' work was missed in spring, and would fill one week of the next."""
    home, late = nursery([(8, 3), (8, 3)]), date(2027, 4, 1)
    plans = plan_all(home, late)
    year = year_view(Day(home, plans, late), date(2027, 5, 3))
    assert [plan.missed(0, late.toordinal()) for plan in plans] == [True, True]
    assert any(week.over for week in year.weeks)
    assert level(Day(home, plans, late), year).puttings == ()


TWO_ACTS = """
[[protocol.step]]
do = "store"
lasts_days = [0, 2]
opens = ["1 Mar"]
closes = ["20 Mar"]
best_until = ["5 Mar"]
"""


def test_an_act_is_not_put_off_where_that_drags_an_earlier_one_past_its_best_time():
    text = f"[farm]\nhours_per_week = 10\n{NORTH}"
    for n in range(2):
        text += f'[[protocol]]\nspecies = "Arbor ficta {n}"\nmethod = "division"\nwhole = true\n{TWO_ACTS}'
        text += '[[protocol.step]]\ndo = "divide"\nopens = ["1 Mar"]\ncloses = ["31 Mar"]\nper_hour = 1\n'
        text += (
            f'[[batch]]\nid = "J{n}"\nspecies = "Arbor ficta {n}"\nmethod = "division"\ncount = 8\nstart = {TODAY}\n'
        )
    reading = read_document(tomli.loads(text), text, "jobs.toml")
    assert reading.farm is not None
    home = open_nursery(reading.farm, apply(reading.farm, ()))
    # Stored on the first of March and divided within two days: a week later it would be stored after the fifth.
    assert levelled(home)[0].puttings == ()
