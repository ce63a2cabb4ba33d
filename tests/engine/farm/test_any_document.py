"""Whatever a farm file holds, reading it never raises: it gives problems in words, and what could be understood."""

import copy
from datetime import date
from typing import Any

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from engine.farm.reading import Reading, read_document
from engine.records.records import Records
from engine.schedule.nursery import faults, open_nursery
from tests.sampled import examples, sampled

FULL = """
[farm]
name = "Hollow Lane"
units = "metric"
week_starts = "monday"
hours_per_week = {jan = 4, may = 20}
[site]
latitude = 45.0
longitude = -93.0
elevation_m = 250
timezone = "America/Chicago"
[site.last_frost]
"90%" = "04-24"
"50%" = "05-08"
[site.first_frost]
"50%" = "10-03"
"90%" = "10-17"
[site.marks]
"leaf drop" = {earliest = ["first frost + 2 weeks", "day length falls to 9 h 30 m"]}
"bud swell" = "last frost - 5 weeks"
[[place]]
name = "cold store"
under_cover = true
serves = ["warm shelf"]
lot_loss_per_year = 0.07
[[standing]]
do = "water"
place = "mist bench"
opens = ["bud swell"]
closes = ["leaf drop"]
every_days = 1
minutes = 20
[[species]]
latin = "Aralia cordata"
common = ["udo"]
bearing_years = {seed = [3, 4]}
spread_m = [1, 2]
seed_keeps_days = 200
source = {spread_m = "from memory"}
[species.marks]
"bud swell" = "bud swell + 1 week"
[[batch]]
id = "u"
species = "udo"
cultivar = "x"
method = "seed"
count = 240
start = 2026-11-01
ready = 2030-01-01
[[batch]]
id = "h"
species = "hazel"
method = "seed"
route = "held cold, sown in spring"
count = 10
ready = 2028-05-01
[[protocol]]
species = "Aralia cordata"
method = "seed"
whole = true
omit = []
[[protocol.step]]
do = "stratify cold"
place = "cold store"
wait_days = [0, 3]
lasts_days = [90, 120]
look_days = 7
aim = "late"
temperature_c = [1, 5]
[[protocol.step]]
do = "sow"
opens = ["soil workable"]
closes = ["longest day"]
best_until = ["last frost"]
after = [{do = "stratify cold", wait_days = [0, 10]}]
survive = 0.7
per_hour = 200
source = {survive = "from memory"}
"""
DOCUMENT = tomli.loads(FULL)

WORDS = st.sampled_from([
    "", "x", "last frost", "last frost - 60 weeks", "last frost (0.1%)", "29 Feb", "bud swell", "a", "stratify cold",
    "seed", "hazel", "udo", "05-08", "02-29", "America", "UTC", "Europe/../UTC", "day length rises to 24 h", "90%",
    "NaN",
])  # fmt: skip
SCALARS = st.one_of(
    st.booleans(),
    st.integers(),
    st.sampled_from([0, 1, -1, 10**30, 10**400, 366, 3660]),
    st.floats(),
    WORDS,
    st.text(max_size=12),
    st.dates(),
    st.datetimes(),
    st.times(),
)
KEYS = st.one_of(
    st.sampled_from([
        "farm", "site", "place", "standing", "species", "batch", "protocol", "step", "name", "latitude", "longitude",
        "timezone", "last_frost", "first_frost", "marks", "do", "opens", "closes", "after", "method", "id", "count",
        "start", "ready", "50%", "10%", "latin", "bearing_years", "source", "wait_days", "bud swell", "latest",
        "hours_per_week",
    ]),
    st.text(max_size=6),
)  # fmt: skip
JSON_LIKE = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=4)),
    max_leaves=12,
)


def checked(reading: Reading) -> None:
    """Every problem is in words with its place; what was read can be dated or says why not."""
    for problem in reading.problems:
        assert problem.file == "farm.toml"
        assert problem.message.strip()
        assert str(problem)
    if reading.farm is not None:
        for batch, _, reason in faults(open_nursery(reading.farm, Records(())), date(2027, 1, 1)):
            assert batch in reading.farm.batches
            assert reason


def places(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(found for key, one in inner for found in places(one, (*path, key)))]


PLACES = [path for path in places(DOCUMENT) if path]


def test_the_document_that_is_spoilt_below_is_good():
    reading = read_document(DOCUMENT, FULL, "farm.toml")
    assert reading.problems == ()
    assert reading.farm is not None
    assert len(reading.farm.batches) == 2
    assert faults(open_nursery(reading.farm, Records(())), date(2027, 1, 1)) == []


@examples(100)
@given(st.dictionaries(KEYS, JSON_LIKE, max_size=6))
def test_no_document_makes_the_reader_raise(document):
    checked(read_document(document, "", "farm.toml"))


@examples(150)
@given(st.lists(st.tuples(st.sampled_from(PLACES), JSON_LIKE), min_size=1, max_size=3))
def test_a_good_farm_with_anything_in_any_place_never_makes_it_raise(spoilt):
    document = copy.deepcopy(DOCUMENT)
    for path, value in spoilt:
        inner: Any = document
        try:
            for part in path[:-1]:
                inner = inner[part]
            inner[path[-1]] = value
        except (KeyError, IndexError, TypeError, AttributeError):
            continue  # an earlier value has taken the place away
    checked(read_document(document, FULL, "farm.toml"))


@examples(60)
@given(st.sampled_from(PLACES))
def test_a_good_farm_with_anything_missing_never_makes_it_raise(path):
    document = copy.deepcopy(DOCUMENT)
    inner: Any = document
    for part in path[:-1]:
        inner = inner[part]
    del inner[path[-1]]
    checked(read_document(document, FULL, "farm.toml"))


@pytest.mark.parametrize("value", sampled([[[]], True, 10**400, "x", date(1, 1, 1)], 5), ids=lambda v: repr(v)[:9])
def test_every_value_of_every_wrong_type_is_told_or_taken_and_never_raises(value: Any):
    told = 0
    for path in PLACES:
        document = copy.deepcopy(DOCUMENT)
        inner: Any = document
        for part in path[:-1]:
            inner = inner[part]
        inner[path[-1]] = value
        reading = read_document(document, FULL, "farm.toml")
        told += bool(reading.problems)
        if reading.farm is None:
            assert reading.problems, path
    assert told > 0.8 * len(PLACES)
