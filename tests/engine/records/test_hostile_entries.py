"""Entries that no grower meant: each is told as what does not fit, and the farm opens with all the rest."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from engine.acts.action import Refused
from engine.acts.propagation import Told, do
from engine.acts.undoing import ids_at_once, undo
from engine.farm.model import Farm
from engine.journal.device_names import is_of
from engine.journal.entry import Entry
from engine.reading.limits import MOST_HELD, MOST_IN_BATCH
from engine.records.records import Records, apply
from engine.records.values import number, texts
from engine.records.words import said
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day
from engine.views.week import week_view
from tests.engine.records.farms import TODAY, Journal, farm_of

HUGE = 10**400
FIG = "Fictus ripensis"


@pytest.fixture(scope="module")
def farm() -> Farm:
    return farm_of()


def entry(kind: str, on: date = TODAY, at: str = "shed-1", **data: Any) -> Entry:
    return Entry(at, "2027-01-18T08:00:00+00:00", on, kind, data)


@pytest.mark.parametrize(
    "hostile",
    [
        entry("done", batch="Z1", step="soak", count=100, join=3),
        entry("done", batch="Z1", step="soak", count=100, join=True),
        entry("done", batch="Z1", step="soak", count=100, join={"Z2": 1}),
        entry("done", batch="Z1", step="soak", count=100, join=["Z2", 3]),
        entry("done", batch="Z1", step="soak", count=HUGE),
        entry("done", batch="Z1", step="soak", count=MOST_IN_BATCH + 1),
        entry("done", batch="Z1", step="soak", count=50, left=HUGE),
        entry("done", batch="Z1", step="soak", count=50, ordered=HUGE),
        entry("came", batch="Z1", step="sow", item="pots", count=HUGE),
        entry("receive", lot="L", species=FIG, form="pot", place="north bed", count=HUGE),
        entry("receive", lot="L", species=FIG, form="pot", place="north bed", count=MOST_HELD + 1),
        entry("grade", lot="P1", form="1 L pot", place="standing ground", grades={"first": HUGE}),
        entry("need", need="N", species=FIG, count=3, sure=HUGE),
        entry("amend", need="FAIR", sure=-HUGE),
        entry("stock_plant", plant="S", species=FIG, count=3, yields=[[3, HUGE]]),
        entry("stock_plant", plant="S", species=FIG, count=3, yields=[[HUGE, 3]]),
        entry("row", place="north bed", row="1", lots=[["P1", HUGE, 3]]),
        entry("row", place="north bed", row="1", lots=[["P1", 3, HUGE]]),
        entry("batch", batch="N", species=FIG, method="seed", count=HUGE, start="2027-02-01"),
        entry("change", batch="Z1", count=HUGE),
        entry("outage", place="cold store", days=3, temperature_c=HUGE),
    ],
    ids=lambda hostile: f"{hostile.kind} {sorted(hostile.data)[-1]}",
)
def test_what_cannot_be_meant_is_told_and_the_farm_still_opens(farm: Farm, hostile: Entry) -> None:
    sound = entry("note", batch="Z2", text="turned", at="shed-2")
    records = apply(farm, (hostile, sound))
    assert len(records.strays) == 1
    assert records.strays[0].startswith(f"{TODAY} {hostile.kind} ")
    assert said(hostile)
    lot = records.lot("Z2")
    assert lot is not None
    assert [text for _, text in lot.notes] == ["turned"]


@pytest.mark.parametrize("on", [date.min, date(1899, 12, 31), date(2201, 1, 1), date.max])
@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("saw", {"mark": "leaf drop"}),
        ("done", {"batch": "Z1", "step": "soak", "count": 100}),
        ("need", {"need": "N", "species": FIG, "count": 3}),
    ],
)
def test_a_day_outside_the_years_that_a_farm_file_takes_is_told_and_the_board_is_made(
    farm: Farm, kind: str, data: dict[str, Any], on: date
) -> None:
    records = apply(farm, [entry(kind, on, **data)])
    assert [stray.partition(": ")[2] for stray in records.strays] == ["its day lies outside the years 1900 to 2200"]
    assert (records.lots, records.sightings) == (apply(farm, ()).lots, ())
    nursery = open_nursery(farm, records)
    week_view(Day(nursery, [], TODAY))


def test_the_first_and_the_last_year_still_count(farm: Farm) -> None:
    days = date(1900, 1, 1), date(2200, 12, 31)
    records = apply(farm, [entry("note", on, batch="Z1", text="x") for on in days])
    lot = records.lot("Z1")
    assert lot is not None
    assert not records.strays
    assert tuple(on for on, _ in lot.notes) == days


def test_a_done_whose_join_cannot_be_read_is_done_all_the_same(farm: Farm) -> None:
    lot = apply(farm, [entry("done", batch="Z1", step="soak", count=90, join=3)]).lot("Z1")
    assert lot is not None
    assert (lot.count, lot.done["soak"].count) == (90, 90)


def test_as_many_as_the_stock_takes_fit_the_fold_too(farm: Farm) -> None:
    held = entry("receive", lot="L", species=FIG, form="seed", place="north bed", count=MOST_HELD, unit="g")
    assert not apply(farm, [held]).strays


def test_more_than_a_batch_can_hold_cannot_be_recorded(farm: Farm) -> None:
    records = apply(farm, ())
    lot = records.lot("M1")
    assert lot is not None
    with pytest.raises(Refused, match="10,000,001 is more than one batch can hold") as refused:
        do(records, lot, "collect", Told(MOST_IN_BATCH + 1), TODAY, TODAY)
    assert refused.value.hint == "give a number up to 10,000,000"
    assert do(records, lot, "collect", Told(MOST_IN_BATCH), TODAY, TODAY).data["count"] == MOST_IN_BATCH


@pytest.mark.parametrize("value", [True, None, "3", [3], HUGE, -HUGE, 1.1e15, float("inf"), float("nan")])
def test_no_number_that_a_grower_gives(value: object) -> None:
    assert number(value) is None


def test_numbers_and_texts_are_read_as_they_stand() -> None:
    assert (number(3), number(-0.5), number(10**15)) == (3.0, -0.5, 1e15)
    assert (texts(["a", "b"]), texts([]), texts("ab"), texts(["a", 1]), texts(None)) == (["a", "b"], [], [], [], [])


# -- what came, and what was lost, when a lot is parted and joined


def parted() -> Journal:
    """A hundred in the cold, of which twenty were lost since, and fifty pots that came for them."""
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", count=100)
    journal.tell("came", batch="Z1", step="sow", item="pots", count=50)
    return journal


def pots(records: Records) -> dict[str, int]:
    return {lot.id: lot.came.get("sow", 0) for lot in records.lots if lot.batch.id == "Z1"}


def test_pots_that_came_are_there_once_after_a_part_is_done() -> None:
    journal = parted()
    journal.tell("done", batch="Z1", step="stratify cold", count=60, left=40, part="Z1/1")
    assert pots(journal.records) == {"Z1": 50, "Z1/1": 0}
    journal.tell("came", batch="Z1/1", step="sow", item="pots", count=30)
    journal.tell("done", batch="Z1", step="stratify cold", count=40, join=["Z1/1"])
    assert pots(journal.records) == {"Z1": 80}


def test_pots_that_a_part_was_done_with_are_used_up() -> None:
    journal = parted()
    journal.tell("done", batch="Z1", step="stratify cold", count=100)
    journal.tell("done", batch="Z1", step="sow", count=35, left=60, part="Z1/1")
    assert pots(journal.records) == {"Z1": 15, "Z1/1": 0}


def test_what_was_lost_before_a_lot_was_split_is_lost_once() -> None:
    journal = parted()
    (held,) = journal.stock.of("Z1")
    where: dict[str, Any] = {"form": held.form, "grade": held.grade, "place": held.place}
    journal.tell("lose", lot="Z1", **where, count=20, cause="mice")
    journal.tell("split", lot="Z1", **where, count=40, into="Z1b")
    apart = len(journal.entries)
    assert pots(journal.records) == {"Z1": 50, "Z1b": 0}
    lots = [lot for lot in journal.records.lots if lot.batch.id == "Z1"]
    assert (sum(lot.count for lot in lots), sum(lot.into for lot in lots)) == (80, 80)  # mice are no look at the method

    del journal.entries[apart:]
    journal.tell("lose", lot="Z1b", **where, count=10, cause="mould")
    journal.tell("came", batch="Z1b", step="sow", item="pots", count=5)
    journal.tell("join", lot="Z1b", into="Z1")
    (whole,) = (lot for lot in journal.records.lots if lot.batch.id == "Z1")
    assert (whole.count, whole.into, whole.came) == (70, 80, {"sow": 55})
    assert not journal.records.strays


# -- whose entry it is


@pytest.mark.parametrize("device", ["shed", "shed-12", "shed-laptop", "shed-2-a"])
def test_an_entry_is_of_the_device_that_wrote_it_and_of_no_other(device: str) -> None:
    others = {"shed", "shed-12", "shed-laptop", "shed-2-a", "shed-2", "she"} - {device}
    for first in (f"{device}-0011aabbccdd", f"{device}-001122334455"):
        for one in (*ids_at_once(first, 1), *ids_at_once(first, 3)):
            assert is_of(one, device)
            assert is_of(one, device.upper()), "case aside, a name is one"
            assert not any(is_of(one, other) for other in others)


def test_what_a_device_of_a_longer_name_recorded_is_not_undone_here(farm: Farm) -> None:
    known = [
        entry("note", batch="Z1", text="mine", at="shed-0011aabbccdd"),
        entry("note", batch="Z1", text="theirs", at="shed-laptop-0011aabbccdd"),
    ]
    nursery = open_nursery(farm, apply(farm, known))
    assert undo(nursery, known, "shed")[0].data == {"of": "shed-0011aabbccdd"}
    with pytest.raises(Refused, match="nothing to undo"):
        undo(nursery, known[1:], "shed")
