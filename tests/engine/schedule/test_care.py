"""Care as standing work: what is asked of which plants, in which years and when, and that it ends."""

from __future__ import annotations

import pytest

from engine.journal.entry import Entry
from engine.protocols.forms import known_forms
from engine.protocols.model import LAYERS
from engine.records.records import apply
from engine.schedule.care import PLANTING, STOCK, known_care
from engine.schedule.nursery import open_nursery
from engine.schedule.standing_work import standing_work
from engine.views.standing_tasks import standing_tasks
from tests.engine.needs.homes import batch, farm, stock
from tests.engine.schedule.farms import day, entry

ORCHARD = """
[[species]]
latin = "Arbor ficta"
form = "tree"
[[planting]]
name = "orchard"
planted = 2026-11-20
[[planting.position]]
id = "T"
species = "Arbor ficta"
count = 3
[[planting.position]]
id = "U"
species = "Prunus ficta"
layer = "middle"
[[planting.position]]
id = "G"
species = "Herba ficta"
layer = "ground"
"""


def work(*parts: str, on: str, entries: tuple[Entry, ...] = ()) -> dict[str, tuple[str, int, float]]:
    home = farm(*parts)
    nursery = open_nursery(home, apply(home, entries))
    return {each.do: (each.place, each.plants, each.minutes) for each in standing_work(nursery, day(on))}


def due(*parts: str, start: str, end: str, entries: tuple[Entry, ...] = ()) -> dict[str, str]:
    home = farm(*parts)
    nursery = open_nursery(home, apply(home, entries))
    return {task.step: str(task.state) for task in standing_tasks(nursery, day(start), day(start), day(end))}


@pytest.mark.parametrize("kind", [PLANTING, STOCK])
def test_the_tables_name_what_is_known_and_say_where_it_comes_from(kind: str):
    found = known_care(kind)
    assert len({care.do for care in found}) == len(found)
    for care in found:
        assert care.layers <= set(LAYERS)
        assert care.forms <= {*known_forms(), "pot"}
        assert care.layers if kind == PLANTING else care.forms
        assert 0 <= care.years[0] <= care.years[1]
        assert care.minutes > 0
        assert care.window.opens
        assert care.window.closes
        assert care.source == "common practice"
        assert not care.genera or not care.not_genera


def test_water_is_for_the_first_summer_guards_for_seven_winters():
    told = work(ORCHARD, on="2027-06-01")
    assert told["water"] == ("orchard", 5, pytest.approx(7.5))
    assert "water" not in work(ORCHARD, on="2028-06-01")
    assert work(ORCHARD, on="2033-06-01")["guards on"][1] == 4  # not the ground cover
    assert "guards on" not in work(ORCHARD, on="2033-12-01")


def test_what_died_asks_for_nothing_more():
    dead = entry("2027-06-01", "walked", batch="", planting="orchard", position="T.2", state="dead", cause="browsed")
    assert work(ORCHARD, on="2027-06-02", entries=(dead,))["water"][1] == 4


def test_guards_go_on_before_the_snow_and_are_let_out_in_spring():
    assert due(ORCHARD, start="2027-11-15", end="2027-11-21")["guards on"] == "open"
    assert "guards on" not in due(ORCHARD, start="2027-07-05", end="2027-07-11")
    assert "let guards out" in due(ORCHARD, start="2028-05-01", end="2028-05-07")


def test_stone_fruit_is_pruned_in_leaf_and_the_rest_while_dormant():
    assert work(ORCHARD, on="2028-01-10")["first pruning"][1] == 3
    assert work(ORCHARD, on="2028-01-10")["first pruning in leaf"][1] == 1
    assert "first pruning in leaf" not in due(ORCHARD, start="2028-01-10", end="2028-01-16")
    assert "first pruning in leaf" in due(ORCHARD, start="2028-07-03", end="2028-07-09")


def test_what_is_done_once_is_done_for_its_season_and_comes_again():
    done = entry("2027-11-16", "worked", batch="", do="guards on", place="orchard")
    assert due(ORCHARD, start="2027-11-16", end="2027-11-21", entries=(done,))["guards on"] == "done"
    assert "guards on" not in due(ORCHARD, start="2027-11-22", end="2027-11-28", entries=(done,))
    assert "guards on" in due(ORCHARD, start="2028-11-20", end="2028-11-26", entries=(done,))


def test_what_is_done_once_counts_in_one_week_to_come_alone():
    home = farm(ORCHARD)
    nursery = open_nursery(home, apply(home, ()))
    weeks = [("2027-11-01", "2027-11-07"), ("2027-11-08", "2027-11-14"), ("2027-11-15", "2027-11-21")]
    found = [
        sum(task.step == "guards on" for task in standing_tasks(nursery, day("2027-06-01"), day(first), day(last)))
        for first, last in weeks
    ]
    assert sum(found) == 1


def test_stock_goes_on_until_it_is_sold():
    pots = stock("S", 40, "1 L pot")
    assert work(pots, on="2027-04-10")["repot"] == ("bed", 40, 120)
    sold = entry("2027-04-01", "sell", batch="", lot="S", form="1 L pot", grade="", place="bed", count=40)
    assert "repot" not in work(pots, on="2027-04-10", entries=(sold,))


def test_what_was_potted_this_year_is_not_repotted_and_what_is_under_way_is_left_to_its_protocol():
    potted = entry(
        "2027-03-01", "pot_up", batch="", lot="S", form="liner", grade="", place="bed", count=9, to_form="2 L pot"
    )
    assert "repot" not in work(stock("S", 9, "liner"), on="2027-04-10", entries=(potted,))
    assert work(stock("S", 9, "liner"), on="2028-04-10", entries=(potted,))["repot"][1] == 9
    stuck = entry("2027-03-02", "done", "stick", count=100)
    assert work(batch("B", 100), on="2027-12-10", entries=(stuck,)) == {}


def test_pots_in_the_open_are_protected_before_the_ground_freezes_and_pots_under_cover_are_not():
    frame = '[[place]]\nname = "cold frame"\nunder_cover = true\n'
    out, sheltered = stock("S", 40, "1 L pot"), stock("T", 9, "1 L pot").replace('"bed"', '"cold frame"')
    assert due(frame, out, sheltered, start="2027-11-08", end="2027-11-14")["protect pots"] == "open"
    assert work(frame, out, sheltered, on="2027-11-08")["protect pots"] == ("bed", 40, pytest.approx(12))
    assert "protect pots" not in due(frame, out, start="2027-09-06", end="2027-09-12")
    assert "stand pots out" in due(frame, out, start="2028-04-03", end="2028-04-09")


def test_pots_of_a_batch_under_way_are_protected_too_and_repotted_by_its_own_steps_alone():
    way = """
[[protocol]]
species = "Arbor ficta"
method = "softwood cutting"
whole = true
[[protocol.step]]
do = "stick"
opens = ["1 Mar"]
closes = ["31 Mar"]
[[protocol.step]]
do = "pot up"
place = "bed"
wait_days = 60
[[protocol.step]]
do = "grade"
wait_days = 600
"""
    done = [entry("2027-03-02", "done", "stick", count=100), entry("2027-06-01", "done", "pot up", count=80)]
    found = work(way, batch("B", 100, method="softwood cutting"), on="2028-04-01", entries=tuple(done))
    assert found["protect pots"][1] == 80
    assert "repot" not in found
