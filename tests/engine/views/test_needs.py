"""The needs as a grower goes through them: their words, their groups, and what a lot in trouble leaves short."""

from __future__ import annotations

from datetime import date

import pytest

from engine.farm.stock import Need
from engine.needs.coverage import coverage
from engine.needs.need_lines import NeedLine
from engine.schedule.plan import Day
from engine.views.needs import (
    COMING,
    COVERED,
    GONE,
    NOBODY,
    OVER,
    OVERDUE,
    SHORT,
    WHENEVER,
    grouped,
    in_trouble,
    overdue,
    planting_of,
    state_of,
)
from tests.engine.needs.homes import batch, farm, need, opened, stock

TODAY = date(2027, 1, 10)
NORTH, SOUTH = 52.0, -38.0


def line(
    name: str = "N", by: date | None = date(2028, 3, 1), who: str = "", count: int = 10, met: int = 0, hand: int = 0,
    come: int = 0,
) -> NeedLine:  # fmt: skip
    return NeedLine(Need(name, "Arbor ficta", "", "", count, by, 0.9, who), "fictive tree", met, hand, come)


@pytest.mark.parametrize(
    ("parts", "state"),
    [
        ({}, SHORT),
        ({"hand": 4, "come": 5}, SHORT),
        ({"hand": 10}, COVERED),
        ({"met": 4, "hand": 6}, COVERED),
        ({"come": 10}, COMING),
        ({"met": 3, "hand": 6, "come": 1}, COMING),
        ({"met": 10}, GONE),
        ({"met": 12}, GONE),
    ],
)
def test_a_need_is_short_coming_covered_or_gone(parts: dict[str, int], state: str):
    assert state_of(line(**parts)) == state


def test_a_need_is_overdue_from_the_day_after_its_day_until_all_of_it_has_gone():
    assert not overdue(line(by=TODAY), TODAY)
    assert overdue(line(by=date(2027, 1, 9), hand=10), TODAY)
    assert not overdue(line(by=date(2027, 1, 9), met=10), TODAY)
    assert not overdue(line(by=None), TODAY)


def test_by_season_the_earliest_stands_first_and_in_each_what_is_short():
    lines = [
        line("late", date(2026, 12, 1)), line("gone", date(2026, 11, 1), met=10), line("any", None, hand=10),
        line("b", date(2027, 3, 1), hand=10), line("c", date(2027, 4, 1)), line("d", date(2028, 12, 30)),
    ]  # fmt: skip
    found = [(title, [each.need.id for each in mine]) for title, mine in grouped(lines, "season", NORTH, TODAY)]
    assert found == [
        (OVERDUE, ["late"]), ("spring 2027", ["c", "b"]), ("winter 2028-29", ["d"]), (WHENEVER, ["any"]),
        (OVER, ["gone"]),
    ]  # fmt: skip
    assert grouped([line("b", date(2027, 3, 1))], "season", SOUTH, TODAY)[0][0] == "autumn 2027"


def test_by_whom_all_of_one_customer_stand_together():
    lines = [line("a", date(2028, 1, 1), "Hale"), line("b", date(2027, 5, 1)), line("c", date(2027, 6, 1), "Hale")]
    found = [(title, [each.need.id for each in mine]) for title, mine in grouped(lines, "whom", NORTH, TODAY)]
    assert found == [(NOBODY, ["b"]), ("Hale", ["c", "a"])]


def test_a_missed_lot_tells_the_needs_that_it_leaves_short_and_those_alone():
    home = farm(
        batch("B", start="2026-02-01"), batch("C", start="2027-02-01"), stock("S", 15, "liner"),
        need("EARLY", 50, by="2027-01-31", sure=0.8), need("POTS", 9, by="2027-01-31", form="pot"),
    )  # fmt: skip
    nursery, plans = opened(home, "2027-01-10")  # nothing of B was done in the March before
    now = Day(nursery, plans, TODAY)
    found = in_trouble(now, coverage(now))
    assert [(each.lot, each.reason) for each in found] == [("B", "missed its window to stick")]
    assert [(each.need.id, each.short) for each in found[0].needs] == [("EARLY", 35)]
    assert found[0].plant == nursery.farm.plant("Arbor ficta")


def test_a_missed_lot_tells_when_its_next_chance_is_ready():
    home = farm(batch("B", start="2026-02-01"), need("LATE", 50, by="2028-01-31", sure=0.8))
    nursery, plans = opened(home, "2027-01-10")
    now = Day(nursery, plans, TODAY)
    [found] = in_trouble(now, coverage(now))
    assert [(each.need.id, each.short) for each in found.needs] == [("LATE", 50)]  # until that chance is accepted
    assert found.again == date(2027, 11, 1)


def test_a_lot_of_another_plant_or_never_in_time_leaves_a_need_no_shorter():
    home = farm(
        batch("B", start="2026-02-01"), need("ADAMS", 5, by="2028-01-31", more='cultivar = "Adams"\n'),
        need("SOON", 5, by="2026-06-01"),
    )  # fmt: skip
    nursery, plans = opened(home, "2027-01-10")
    now = Day(nursery, plans, TODAY)
    [found] = in_trouble(now, coverage(now))
    assert found.needs == ()


def test_the_planting_that_asks_for_a_need_is_found_and_an_order_has_none():
    home = farm(
        need("N1", 5), '[[planting]]\nname = "hedge"\nby = 2028-11-20\n[[planting.position]]\nspecies = "Arbor ficta"\n'
    )
    nursery, plans = opened(home, "2027-01-10")
    covered = coverage(Day(nursery, plans, TODAY))
    asked = {each.need.id: planting_of(covered, each.need) for each in covered.needs}
    assert asked["N1"] is None
    assert asked["hedge 1"] is not None
    assert asked["hedge 1"].planting.name == "hedge"
