"""Small farms for the yearly decision: an invented tree of two methods, its batches, stock, needs and plantings."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import tomli

from engine.farm.model import Farm
from engine.farm.reading import Reading, read_document
from engine.journal.entry import Entry
from engine.needs.coverage import Coverage, coverage
from engine.needs.planting_outlook import Grown, post_odds, posts_of
from engine.odds.bearing import Position
from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import Day, Plan, plan_all
from tests.engine.schedule.farms import NORTH, day

CUTTINGS = """
[[protocol]]
species = "Arbor ficta"
method = "hardwood cutting"
whole = true
[[protocol.step]]
do = "stick"
place = "bed"
opens = ["1 Mar"]
closes = ["31 Mar"]
per_hour = 100
survive = 0.8
batches_run = [0.5, 0.98]
[[protocol.step]]
do = "lift"
place = "bed"
opens = ["1 Nov"]
closes = ["15 Dec"]
wait_days = 170
per_hour = 50
survive = 0.9
batches_run = [0.78, 0.98]
"""
SEED = """
[[protocol]]
species = "Arbor ficta"
method = "seed"
whole = true
[[protocol.step]]
do = "stratify cold"
place = "store"
lasts_days = [90, 120]
[[protocol.step]]
do = "sow"
place = "frame"
opens = ["1 Apr"]
closes = ["12 May"]
per_hour = 400
survive = 0.5
batches_run = [0.14, 0.86]
[[protocol.step]]
do = "lift"
place = "frame"
opens = ["1 Nov"]
closes = ["15 Dec"]
wait_days = 150
per_hour = 100
"""
PLACES = '[[place]]\nname = "bed"\nlot_loss_per_year = 0.05\n[[place]]\nname = "frame"\nlot_loss_per_year = 0.1\n'


def batch(
    name: str, count: int = 200, start: str = "2027-02-01", method: str = "hardwood cutting", more: str = ""
) -> str:
    told = f'[[batch]]\nid = "{name}"\nspecies = "Arbor ficta"\nmethod = "{method}"\n'
    return f"{told}count = {count}\nstart = {start}\n{more}"


def need(name: str, count: int, by: str = "2027-12-31", sure: float = 0.9, form: str = "", more: str = "") -> str:
    told = f'[[need]]\nid = "{name}"\nspecies = "Arbor ficta"\ncount = {count}\nby = {by}\nsure = {sure}\n'
    return told + (f'form = "{form}"\n' if form else "") + more


def stock(lot: str, count: int, form: str = "bare root", more: str = "") -> str:
    return f'[[stock]]\nlot = "{lot}"\nspecies = "Arbor ficta"\nform = "{form}"\nplace = "bed"\ncount = {count}\n{more}'


@cache
def read(*parts: str, site: str = NORTH) -> Reading:
    text = site + PLACES + CUTTINGS + SEED + "".join(parts)
    return read_document(tomli.loads(text), text, "small.toml")


def farm(*parts: str, site: str = NORTH) -> Farm:
    reading = read(*parts, site=site)
    assert not reading.problems, [p.message for p in reading.problems]
    assert reading.farm is not None
    return reading.farm


def opened(home: Farm, today: str, *entries: Entry) -> tuple[Nursery, tuple[Plan, ...]]:
    """The nursery and its plans on a day, after these entries."""
    records = apply(home, entries)
    assert not records.strays, records.strays
    nursery = open_nursery(home, records)
    return nursery, plan_all(nursery, day(today))


def position_odds(home: Farm, year: int, n: int = 0) -> Position | None:
    """The odds that the nth position of its one planting bears in a year, nothing of it planted."""
    planting = home.plantings[0]
    assert planting.by is not None
    posts = posts_of(home, planting, {}, Grown(), planting.by)
    return post_odds(next(post for post in posts if post.first.plant.position == planting.positions[n]), year)


def covered(home: Farm, today: str, *entries: Entry, without: Sequence[str] = ()) -> Coverage:
    nursery, plans = opened(home, today, *entries)
    return coverage(Day(nursery, plans, day(today)), without)
