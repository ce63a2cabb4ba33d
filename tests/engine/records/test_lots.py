"""What entries make of a lot: its parts, what is held of it, what was lost of it and what that teaches."""

from __future__ import annotations

from datetime import date

import pytest

from engine.records.lots import Lot
from tests.engine.records.farms import Journal, farm_of

LATER = date(2027, 2, 1)


def lot(journal: Journal, name: str = "Z1") -> Lot:
    found = journal.records.lot(name)
    assert found is not None
    return found


def refused(journal: Journal) -> list[str]:
    return [stray.partition(": ")[2] for stray in journal.records.strays]


def sown(count: int = 100) -> Journal:
    """Z1, a hundred seeds, all of them soaked, laid in the cold and sown."""
    journal = Journal()
    for step in ("soak", "stratify cold", "sow"):
        journal.tell("done", batch="Z1", step=step, count=count)
    return journal


@pytest.mark.parametrize("left", [1, 40, 99])
def test_what_is_left_undone_stays_and_the_rest_goes_on_as_a_part(left: int) -> None:
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", left=left)
    assert (lot(journal).count, dict(lot(journal).done)) == (left, {})
    assert (lot(journal, "Z1/1").count, list(lot(journal, "Z1/1").done)) == (100 - left, ["soak"])


def test_all_of_a_lot_cannot_be_left_undone() -> None:
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", left=100)
    assert refused(journal) == ["100 cannot be left of 100"]
    assert lot(journal).done == {}


def test_what_was_done_is_held_no_more_and_what_comes_after_is() -> None:
    journal = Journal()
    journal.tell("hold", batch="Z1", step="soak", reason="no help")
    journal.tell("hold", batch="Z1", step="sow", reason="wet ground")
    journal.tell("done", batch="Z1", step="soak", count=100)
    assert lot(journal).held == {"sow": "wet ground"}
    journal.tell("release", batch="Z1", step="sow")
    assert lot(journal).held == {}


def test_the_last_look_is_the_latest_at_that_step() -> None:
    journal = Journal()
    for day, step in ((18, "soak"), (19, "stratify cold"), (20, "soak"), (21, "sow")):
        journal.tell("look", on=date(2027, 1, day), batch="Z1", step=step, finding="nothing")
    look = lot(journal).last_look("soak")
    assert look is not None
    assert look.day == date(2027, 1, 20)
    assert lot(journal).last_look("lift") is None


def test_a_sown_lot_that_is_dropped_teaches_that_none_came_unless_an_accident_took_it() -> None:
    failed, eaten = sown(), sown()
    failed.tell("drop", on=LATER, batch="Z1", reason="none came up")
    eaten.tell("drop", on=LATER, batch="Z1", reason="voles")
    told = [[(t.steps, t.into, t.came) for t in journal.records.trials] for journal in (failed, eaten)]
    assert told == [[(("sow",), 100, 0)], []]
    assert lot(failed).given_up == lot(eaten).given_up == LATER


def test_what_came_for_a_step_is_added_up_and_a_count_of_none_is_refused() -> None:
    journal = Journal()
    for count in (1, 30):
        journal.tell("came", batch="Z1", step="sow", count=count)
    journal.tell("came", batch="Z1", step="sow", count=0)
    assert lot(journal).came == {"sow": 31}
    assert refused(journal) == ["it names no step, or its count cannot be read"]


def test_parts_that_are_joined_have_all_their_plants_and_what_went_in_of_both() -> None:
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", count=60, left=40)
    journal.tell("done", batch="Z1", step="soak", count=38, join=["Z1/1"])
    whole = lot(journal)
    assert whole.count == 98
    assert (whole.done["soak"].count, whole.done["soak"].into) == (98, 100)
    assert journal.records.lot("Z1/1") is None


LIFTED = """
[[species]]
latin = "Fictus alba"
common = ["white fig"]
[[protocol]]
species = "Fictus alba"
method = "seed"
[[protocol.step]]
do = "sow"
place = "seed beds"
survive = 0.8
[[protocol.step]]
do = "lift"
place = "seed beds"
survive = 0.9
[[batch]]
id = "W"
species = "Fictus alba"
method = "seed"
count = 100
start = 2026-12-01
"""


def parts_counted(there: tuple[int | None, int | None]) -> Lot:
    """A hundred sown in two parts and lifted, 50 and 20 going on, the second lift joined to the first."""
    journal = Journal(farm_of(LIFTED))
    journal.tell("done", batch="W", step="sow", count=100)
    journal.tell("done", batch="W", step="lift", left=40, count=50, **({"there": there[0]} if there[0] else {}))
    journal.tell("done", batch="W", step="lift", count=20, join=["W/1"], **({"there": there[1]} if there[1] else {}))
    return lot(journal, "W")


def test_those_alive_and_those_that_go_on_are_added_up_apart_where_both_parts_told_them() -> None:
    """Two parts sown, each lifted: of 60 alive 50 go on, of 30 alive 20; together 90 were alive and 70 go on."""
    told = parts_counted(there=(60, 30))
    assert (told.count, told.done["lift"].count, told.done["lift"].into, told.done["lift"].there) == (70, 70, 100, 90)
    assert parts_counted(there=(60, None)).done["lift"].there is None


def test_a_loss_of_unknown_cause_is_taught_at_the_next_count_and_an_accident_is_not() -> None:
    """Of 100 sown 20 die, then 50 are counted: 50 of 100 came. Where deer ate the 20, 50 of 80."""
    found = []
    for cause in ("", "deer"):
        journal = sown()
        journal.tell("lose", on=LATER, lot="Z1", form="seedling", place="seed beds", count=20, cause=cause)
        journal.tell("count", on=LATER, lot="Z1", form="seedling", place="seed beds", count=50)
        found.append([(t.into, t.came) for t in journal.records.trials])
    assert found == [[(100, 50)], [(80, 50)]]
