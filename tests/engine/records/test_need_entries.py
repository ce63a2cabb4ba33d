"""Needs that are entries: what is added, changed and withdrawn, what is refused, merging and undo."""

from __future__ import annotations

import itertools
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.acts.action import Refused
from engine.acts.find_in_stock import find_holding, open_ledger
from engine.acts.needs import NeedChange, amend_need, find_need, free_need_id, new_need, withdraw_need
from engine.acts.stock import sell
from engine.acts.undoing import undo
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.needs.coverage import coverage
from engine.records.records import apply
from engine.records.words import said
from engine.schedule.plan import Day, plan_all
from tests.engine.needs.homes import farm, need, stock
from tests.engine.records.desk import Desk, entry

TODAY = date(2027, 1, 10)
PLANTING = """
[[planting]]
name = "hedge"
by = 2028-11-20
[[planting.position]]
species = "Arbor ficta"
count = 12
"""
HOME = farm(stock("S1", 100), need("N1", 40), need("N2", 30), PLANTING)
HALE = Need("HALE", "American elder", "Adams", "bare root", 60, date(2028, 2, 20), 0.95, "Hale Orchards")


def new(desk: Desk, wanted: Need) -> Entry:
    return desk.take(new_need(desk.nursery, desk.entries, wanted, TODAY))


@pytest.fixture
def desk() -> Desk:
    desk = Desk(HOME, TODAY)
    new(desk, HALE)
    return desk


# -- a need added


def test_the_entry_holds_the_settled_names_and_only_what_was_said(desk: Desk):
    assert desk.entries[0].data == {
        "need": "HALE", "species": "Sambucus canadensis", "cultivar": "Adams", "form": "bare root", "count": 60,
        "by": "2028-02-20", "sure": 0.95, "who": "Hale Orchards",
    }  # fmt: skip
    assert said(desk.entries[0]) == (
        "HALE: wanted, 60 Sambucus canadensis Adams, bare root, by 20 Feb 28, 95 % sure, for Hale Orchards (10 Jan)"
    )
    plain = new_need(desk.nursery, desk.entries, Need("P", "Arbor ficta", "", "", 5, None), TODAY)
    assert plain.data == {"need": "P", "species": "Arbor ficta", "count": 5}


def test_an_added_need_stands_after_the_orders_and_before_what_the_plantings_ask(desk: Desk):
    assert list(desk.needs) == ["N1", "N2", "HALE", "hedge 1"]
    assert desk.needs["HALE"] == Need(
        "HALE", "Sambucus canadensis", "Adams", "bare root", 60, date(2028, 2, 20), 0.95, "Hale Orchards"
    )
    assert desk.records.strays == ()
    assert desk.nursery.farm.species_of("Sambucus canadensis").name == "American elder"
    assert "HALE" not in {need.id for need in HOME.needs}  # the farm as its file says it is untouched


def test_an_added_need_is_covered_like_one_of_the_file(desk: Desk):
    new(desk, Need("MORE", "Arbor ficta", "", "", 45, date(2027, 12, 31)))
    nursery = desk.nursery
    lines = {line.need.id: line for line in coverage(Day(nursery, plan_all(nursery, TODAY), TODAY)).needs}
    assert [lines[name].from_hand for name in ("N1", "N2", "MORE")] == [40, 30, 30]
    assert lines["MORE"].short == 15


def test_what_is_sold_for_an_added_need_is_met(desk: Desk):
    new(desk, Need("MORE", "Arbor ficta", "", "", 20, None))
    nursery = desk.nursery
    ledger = open_ledger(nursery.farm, nursery.records, desk.entries, TODAY, TODAY)
    desk.take(sell(ledger, find_holding(ledger, "S1"), 8, need="more"))
    assert desk.records.stock.met == {"MORE": 8}


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"id": " "}, "needs an id"),
        ({"id": "n1"}, '"N1" has already been used'),
        ({"id": "hale"}, '"HALE" has already been used'),
        ({"id": "hedge 1"}, '"hedge 1" has already been used'),
        ({"species": "Amercan elder"}, 'did you mean "American elder"?'),
        ({"species": " "}, "needs a species"),
        ({"count": 0}, "from 1 to"),
        ({"sure": 1.0}, "from 1 to 99.99 %"),
        ({"by": date(2027, 1, 9)}, "has passed"),
        ({"by": date(2427, 1, 9)}, "lies outside the years"),
    ],
)
def test_a_need_that_cannot_be_is_refused_with_the_reason(desk: Desk, changed: dict[str, object], told: str):
    asked = {"id": "N", "species": "Arbor ficta", "cultivar": "", "form": "", "count": 9, "by": None, **changed}
    with pytest.raises(Refused) as caught:
        new(desk, Need(**asked))
    assert told in f"{caught.value} | {caught.value.hint}"
    assert len(desk.entries) == 1


def test_a_free_id_is_the_plants_name_and_the_year_and_none_is_used_twice(desk: Desk):
    assert free_need_id(desk.nursery, desk.entries, "American elder", date(2028, 2, 1)) == "american-elder-28"
    new(desk, Need("hazel-28", "hazel", "", "", 5, None))
    desk.take(withdraw_need(desk.nursery, "hazel-28", "", TODAY))
    assert free_need_id(desk.nursery, desk.entries, "hazel", date(2028, 2, 1)) == "hazel-28b"
    with pytest.raises(Refused, match="has already been used"):
        new(desk, Need("hazel-28", "hazel", "", "", 5, None))


# -- changes, and what is withdrawn


def test_every_figure_of_a_need_can_change_and_a_day_be_taken_away(desk: Desk):
    desk.take(amend_need(desk.nursery, "hale", TODAY, NeedChange(count=80, by=None, sure=0.8, who=" Hale  & Sons ")))
    found = desk.needs["HALE"]
    assert (found.count, found.by, found.sure, found.who, found.form) == (80, None, 0.8, "Hale & Sons", "bare root")
    assert desk.entries[1].data == {"need": "HALE", "count": 80, "by": None, "sure": 0.8, "who": "Hale & Sons"}
    assert said(desk.entries[1]) == "HALE: now 80 of it, whenever, 80 % sure, for Hale & Sons (10 Jan)"
    desk.take(amend_need(desk.nursery, "HALE", TODAY, NeedChange(form="", cultivar="York", by=date(2028, 3, 1))))
    found = desk.needs["HALE"]
    assert (found.form, found.cultivar, found.by) == ("", "York", date(2028, 3, 1))
    assert said(desk.entries[2]) == "HALE: now by 1 Mar 28, form any, cultivar York (10 Jan)"


def test_a_need_of_the_file_changes_and_is_withdrawn_and_the_file_stands(desk: Desk):
    desk.take(amend_need(desk.nursery, "N1", TODAY, NeedChange(count=10)))
    desk.take(withdraw_need(desk.nursery, "N2", "they  bought in", TODAY))
    assert desk.needs["N1"].count == 10
    assert "N2" not in desk.needs
    assert desk.entries[-1].data == {"need": "N2", "reason": "they bought in"}
    assert said(desk.entries[-1]) == "N2: withdrawn, they bought in (10 Jan)"
    assert [need.count for need in HOME.needs[:2]] == [40, 30]


def test_undo_brings_each_back(desk: Desk):
    desk.take(withdraw_need(desk.nursery, "N2", "", TODAY))
    desk.take(amend_need(desk.nursery, "N1", TODAY, NeedChange(count=10)))
    for there, count in ((False, 40), (True, 40)):
        desk.take(undo(desk.nursery, standing(tuple(desk.entries)), "desk")[0])
        assert ("N2" in desk.needs, desk.needs["N1"].count) == (there, count)
    desk.take(undo(desk.nursery, standing(tuple(desk.entries)), "desk")[0])
    assert "HALE" not in desk.needs


def test_a_need_that_another_device_changed_since_is_not_undone_under_it(desk: Desk):
    desk.take(amend_need(desk.nursery, "HALE", TODAY, NeedChange(count=80)), "lamp")
    with pytest.raises(Refused, match="cannot be undone"):
        undo(desk.nursery, standing(tuple(desk.entries)), "desk")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"count": 0}, "from 1 to"),
        ({"sure": 0.0}, "from 1 to 99.99 %"),
        ({"by": date(2027, 1, 9)}, "has passed"),
        ({"count": 60}, "nothing about HALE would change"),
        ({}, "nothing about HALE would change"),
    ],
)
def test_a_change_that_cannot_be_is_refused(desk: Desk, change: dict[str, object], told: str):
    with pytest.raises(Refused, match=told):
        amend_need(desk.nursery, "HALE", TODAY, NeedChange(**change))


def test_a_need_whose_day_has_passed_can_still_change_in_all_else(desk: Desk):
    late = date(2029, 1, 1)
    assert amend_need(desk.nursery, "HALE", late, NeedChange(count=5)).data == {"need": "HALE", "count": 5}


def test_what_a_planting_asks_for_is_changed_in_the_farm_file(desk: Desk):
    for make in (
        lambda n: amend_need(n, "hedge 1", TODAY, NeedChange(count=3)),
        lambda n: withdraw_need(n, "hedge 1", "", TODAY),
    ):
        with pytest.raises(Refused, match="belongs to the planting hedge") as caught:
            make(desk.nursery)
        assert "farm file" in caught.value.hint


def test_a_misspelt_need_is_refused_with_the_near_one(desk: Desk):
    with pytest.raises(Refused) as caught:
        find_need(desk.nursery.farm, "HAIL")
    assert "HALE" in caught.value.hint


# -- what the journal says when it is read


def test_two_devices_that_add_one_id_give_one_need_and_a_stray(desk: Desk):
    other = entry(1, "need", TODAY, need="HALE", species="hazel", count=7)
    records = apply(HOME, [desk.entries[0], other])
    assert records.farm is not None
    assert [need.count for need in records.farm.needs if need.id == "HALE"] == [60]
    assert records.strays == ("2027-01-10 need HALE: there is already a need with that id; it stays as it is",)


def test_a_slow_clock_that_tells_a_change_before_its_need_loses_nothing(desk: Desk):
    records = apply(HOME, [entry(1, "amend", TODAY, need="HALE", count=7), *desk.entries])
    assert records.strays == ()
    assert records.farm is not None
    assert [need.count for need in records.farm.needs if need.id == "HALE"] == [7]


def test_what_two_devices_both_withdrew_is_told_once_and_a_change_after_it_is_told(desk: Desk):
    both = [
        entry(1, "withdraw", TODAY, need="N1"),
        entry(2, "withdraw", TODAY, need="N1"),
        entry(3, "amend", TODAY, need="N1", count=3),
    ]
    records = apply(HOME, both)
    assert records.farm is not None
    assert "N1" not in {need.id for need in records.farm.needs}
    assert [stray.partition(": ")[2] for stray in records.strays] == ["it was withdrawn on 2027-01-10"] * 2


@pytest.mark.parametrize(
    ("kind", "data", "told"),
    [
        ("need", {"need": "N1", "species": "hazel", "count": 5}, "there is already a need"),
        ("need", {"need": "hedge 1", "species": "hazel", "count": 5}, "there is already a need"),
        ("need", {"need": "X", "count": 5}, "it lacks a name or a species"),
        ("need", {"need": "X", "species": "hazel", "count": "five"}, "its count cannot be read"),
        ("need", {"need": "X", "species": "hazel", "count": 5, "by": "soon"}, "its by date cannot be read"),
        ("need", {"need": "X", "species": "hazel", "count": 5, "sure": "very"}, "how surely cannot be read"),
        ("amend", {"need": "X", "count": 5}, "there is no need with that id"),
        ("amend", {"need": "N1", "count": 0}, "from 1 to"),
        ("amend", {"need": "hedge 1", "count": 5}, "belongs to the planting hedge"),
        ("withdraw", {"need": "hedge 1"}, "belongs to the planting hedge"),
        ("withdraw", {}, "there is no need with that id"),
    ],
)
def test_an_entry_that_fits_no_need_is_told_and_the_rest_stands(kind: str, data: dict[str, object], told: str):
    records = apply(HOME, [entry(1, kind, TODAY, **data)])
    [stray] = records.strays
    assert told in stray
    assert records.farm is not None
    assert records.farm.needs == HOME.needs


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 10**9), st.text(max_size=9), st.floats(allow_nan=False),
    st.sampled_from(("N1", "HALE", "hedge 1", "hazel", "Arbor ficta", "2028-02-30", "2028-03-01")),
    st.lists(st.integers(), max_size=2),
)  # fmt: skip
KEYS = ("need", "species", "cultivar", "form", "count", "by", "sure", "who", "reason")


@given(st.sampled_from(("need", "amend", "withdraw")), st.dictionaries(st.sampled_from(KEYS), VALUES))
def test_whatever_such_an_entry_holds_it_fits_or_is_a_stray(kind: str, data: dict[str, object]):
    records = apply(HOME, [entry(1, kind, TODAY, **data)])
    assert records.farm is not None
    changed = records.farm.needs != HOME.needs
    assert not (changed and records.strays)
    assert changed or records.strays or kind == "amend"  # a change that says nothing new changes nothing
    assert all(need.count >= 1 and 0 < need.sure < 1 for need in records.farm.needs)
    assert isinstance(said(entry(1, kind, TODAY, **data)), str)


@given(st.permutations(range(4)))
def test_needs_are_the_same_in_whatever_order_different_ones_are_told(order: list[int]):
    told = [
        entry(0, "need", TODAY, need="A", species="hazel", count=5),
        entry(1, "need", TODAY, need="B", species="elder", count=6),
        entry(2, "amend", TODAY, need="A", count=9),
        entry(3, "withdraw", TODAY, need="N2"),
    ]
    records = apply(HOME, [told[n] for n in order])
    assert records.strays == ()
    assert records.farm is not None
    assert {need.id: need.count for need in records.farm.needs} == {"N1": 40, "A": 9, "B": 6, "hedge 1": 12}


def test_the_farm_that_has_grown_may_be_given_for_the_one_of_the_file(desk: Desk):
    grown = desk.nursery.farm
    for home, entries in itertools.product((grown, HOME), (desk.entries, [])):
        found = apply(home, entries).farm
        assert found is not None
        assert ("HALE" in {need.id for need in found.needs}) == bool(entries)


def test_what_needs_take_is_read_only_where_the_journal_tells_of_needs():
    script = (
        "import sys, tests.engine.records.test_need_entries as t\n"
        "sys.modules.pop('engine.records.needs')\nt.apply(t.HOME, [t.entry(1, 'saw', t.TODAY, mark='leaf drop')])\n"
        "first = 'engine.records.needs' in sys.modules\nt.apply(t.HOME, [t.entry(1, 'withdraw', t.TODAY, need='N1')])\n"
        "print(first, 'engine.records.needs' in sys.modules)"
    )
    root = Path(__file__).parents[3]
    told = subprocess.run([sys.executable, "-c", script], cwd=root, capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["False", "True"]
