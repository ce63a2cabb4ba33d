"""The coldest night of the year against what a species stands."""

from datetime import date

import pytest

from engine.farm.hardiness import too_tender
from engine.farm.reading import Reading, read_document
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import plan_all
from engine.views.plan import batch_lines

SITE = {"latitude": 45.5, "longitude": -94.1, "timezone": "America/Chicago"}
STEPS = [{"do": "graft", "opens": ["1 Mar"], "closes": ["1 Apr"]}, {"do": "line out", "wait_days": [20, 60]}]


def read(hardy: object = -15, place: str = "", text: str = "", **site: object) -> Reading:
    batch = {"id": "K1", "species": "Diospyros exempli", "method": "bench graft", "count": 9, "start": date(2027, 1, 1)}
    if place:
        batch["place"] = place
    document = {
        "site": SITE | site,
        "species": [{"latin": "Diospyros exempli", "common": ["example kaki"], "hardy_c": hardy}],
        "protocol": [
            {"species": "Diospyros exempli", "method": "bench graft", "whole": True, "step": [dict(s) for s in STEPS]}
        ],
        "batch": [batch],
    }
    return read_document(document, text, "farm.toml")


def test_a_species_that_the_coldest_night_kills_is_told_with_its_remedy_by_check_and_plan():
    reading = read(coldest=-32)
    [problem] = reading.problems
    assert problem.message == "batch K1: example kaki is hardy to -15 °C, and the coldest night here is -32 °C"
    assert "a place under cover" in problem.hint
    assert reading.farm is not None
    nursery = open_nursery(reading.farm, apply(reading.farm, ()))
    today = date(2027, 1, 10)
    [plan] = plan_all(nursery, today)
    assert batch_lines(nursery, plan, today).problems == (too_tender(reading.farm, plan.batch),)


@pytest.mark.parametrize(
    "given",
    [
        {"coldest": -15},
        {"coldest": -8.5},
        {},  # where nothing is known, nothing is said
        {"coldest": -32, "place": "cold frame"},
        {"hardiness_zone": "8a"},
    ],
)
def test_what_stands_the_cold_or_is_kept_from_it_is_no_fault(given):
    reading = read(**given)
    assert reading.problems == ()
    assert reading.farm is not None
    nursery = open_nursery(reading.farm, apply(reading.farm, ()))
    [plan] = plan_all(nursery, date(2027, 1, 10))
    assert batch_lines(nursery, plan, date(2027, 1, 10)).problems == ()


@pytest.mark.parametrize(
    ("zone", "fahrenheit"),
    # USDA Plant Hardiness Zone Map 2012: zones of 10 F, half zones of 5 F, of the average annual extreme minimum
    [("1a", -60), ("4b", -25), ("5", -20), ("5b", -15), ("Zone 8a", 10), ("13b", 65)],
)
def test_a_hardiness_zone_is_taken_at_its_cold_end(zone, fahrenheit):
    reading = read(hardy=-60, hardiness_zone=zone)
    assert reading.farm is not None
    assert reading.farm.site.coldest == pytest.approx((fahrenheit - 32) / 1.8)


def test_a_night_that_was_measured_stands_before_the_zone_of_a_map():
    reading = read(hardy=-60, hardiness_zone="4b", coldest=-24)
    assert reading.problems == ()
    assert reading.farm is not None
    assert reading.farm.site.coldest == -24


@pytest.mark.parametrize(
    ("given", "message", "hint"),
    [
        ({"hardiness_zone": "14a"}, 'hardiness_zone "14a" is not known', '"5b"'),
        ({"hardiness_zone": 5}, "hardiness_zone is a text in quotes", "hardiness_zone"),
        ({"coldest": "-24"}, "does not say its unit", "-4 F"),
        ({"coldest": True}, "coldest is a number", "-70 to 30"),
        ({"coldest": -200}, "out of range", "-70 to 30"),
        ({"hardy": "-15 C"}, "hardy_c is a number", "-70 to 20"),
    ],
)
def test_a_coldest_night_that_cannot_be_read_is_told(given, message, hint):
    [problem] = read(**given).problems
    assert message in problem.message
    assert hint in problem.hint
