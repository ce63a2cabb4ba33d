"""The yearly work of stock plants stands on the board from its opening until it is done (common practice)."""

from __future__ import annotations

from datetime import date, timedelta

import tomli

from engine.farm.model import Farm
from engine.farm.reading import read_document
from engine.journal.entry import Entry
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day
from engine.views.task import Task
from engine.views.week import week_view

FARM = """
[site]
latitude = 45.0
longitude = 0.0
timezone = "UTC"
last_frost = "05-08"
first_frost = "10-03"
[[stock_plant]]
id = "elder row"
species = "Sambucus canadensis"
place = "stock beds"
count = 20
yields = 25
[[stock_plant]]
id = "oaks"
species = "Quercus robur"
count = 3
material = "seed"
"""


def farm() -> Farm:
    reading = read_document(tomli.loads(FARM), FARM, "farm.toml")
    assert reading.problems == ()
    assert reading.farm is not None
    return reading.farm


def on_board(day: date, *worked: date) -> dict[str, Task]:
    entries = [
        Entry(f"e{n}", f"{d}T12:00:00+00:00", d, "worked", {"do": "cut back elder row", "place": "stock beds"})
        for n, d in enumerate(worked)
    ]
    nursery = open_nursery(farm(), apply(farm(), entries))
    return {task.step: task for task in week_view(Day(nursery, (), day)).tasks}


def test_stock_plants_are_cut_back_in_late_winter_until_it_is_done():
    """Bud swell is 10 April here (last frost - 4 weeks): the window runs from 13 February to 3 April."""
    assert "cut back elder row" not in on_board(date(2027, 2, 3))
    due = on_board(date(2027, 3, 10))["cut back elder row"]
    assert (due.state, due.opens, due.closes, due.hours) == ("open", date(2027, 2, 13), date(2027, 4, 3), 1.0)
    assert on_board(date(2027, 3, 29))["cut back elder row"].state == "closing"
    assert "cut back elder row" not in on_board(date(2027, 4, 12))


def test_once_done_it_is_told_in_its_week_and_not_asked_again_until_the_next_year():
    done = date(2027, 3, 10)
    assert on_board(done, done)["cut back elder row"].state == "done"
    assert "cut back elder row" not in on_board(done + timedelta(14), done)
    assert on_board(date(2028, 3, 8), done)["cut back elder row"].state == "open"


def test_plants_kept_for_seed_are_checked_and_verified_but_not_cut_back():
    steps = {task for day in range(0, 365, 7) for task in on_board(date(2027, 1, 1) + timedelta(day))}
    assert "cut back oaks" not in steps
    assert {"rogue and check oaks", "verify at fruiting oaks"} <= steps
