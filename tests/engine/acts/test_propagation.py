"""What may be recorded of an act and a lot on its way: counts, days, parts that join, waits and second thoughts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from engine.acts import propagation as acts
from engine.acts.action import Refused
from engine.records.records import Lot
from engine.schedule.plan import plan_lot
from tests.engine.needs.homes import batch, farm, opened
from tests.engine.records.farms import TODAY, Journal
from tests.engine.schedule.farms import entry

SOAKED = TODAY - timedelta(30)


@pytest.fixture
def journal() -> Journal:
    """Z1, 100 of seed: soaked a month ago, not yet in the cold."""
    journal = Journal()
    journal.tell("done", SOAKED, batch="Z1", step="soak", count=100)
    return journal


def lot(journal: Journal, name: str = "Z1") -> Lot:
    return acts.find_lot(journal.records, name)


def do(journal: Journal, count: int, left: int = 0, on: date = TODAY, step: str = "stratify cold", name: str = "Z1"):
    return acts.do(journal.records, lot(journal, name), step, acts.Told(count, left), on, TODAY)


def refused(made: Callable[[], object]) -> str:
    with pytest.raises(Refused) as caught:
        made()
    return f"{caught.value} | {caught.value.hint}"


@pytest.mark.parametrize(("days", "joins"), [(0, True), (7, True), (8, False), (-7, True), (-8, False)])
def test_the_rest_joins_the_part_that_was_done_up_to_a_week_from_it(journal: Journal, days: int, joins: bool):
    journal.take(do(journal, 40, left=60, on=TODAY - timedelta(10)))
    rest = do(journal, 60, on=TODAY - timedelta(10) + timedelta(days))
    assert rest.data.get("join") == (["Z1/1"] if joins else None)
    journal.take(rest)
    counts = {x.id: x.count for x in journal.records.lots if x.id.startswith("Z1")}
    assert counts == ({"Z1": 100} if joins else {"Z1": 60, "Z1/1": 40})


def test_only_a_part_of_the_same_batch_that_is_just_past_the_step_joins(journal: Journal):
    journal.tell("done", SOAKED, batch="Z2", step="soak", count=80)
    journal.tell("done", TODAY, batch="Z2", step="stratify cold", count=80)
    assert "join" not in do(journal, 100).data
    journal.take(do(journal, 40, left=60))
    assert (
        "join"
        not in acts.do(journal.records, lot(journal), "stratify cold", acts.Told(60, join=False), TODAY, TODAY).data
    )


def test_no_more_comes_through_and_is_left_than_there_is(journal: Journal):
    assert do(journal, 100).data == {"batch": "Z1", "step": "stratify cold", "count": 100}
    assert do(journal, 60, left=40).data == {
        "batch": "Z1", "step": "stratify cold", "count": 60, "left": 40, "part": "Z1/1",
    }  # fmt: skip
    assert do(journal, 0, left=99).data["left"] == 99
    assert "101 cannot have come" in refused(lambda: do(journal, 101))
    assert "101 cannot have come" in refused(lambda: do(journal, 61, left=40))
    assert "100 cannot be left" in refused(lambda: do(journal, 0, left=100))
    for count, left in ((-1, 0), (0, -1)):
        assert "0 or more" in refused(lambda count=count, left=left: do(journal, count, left))  # type: ignore[misc]


def test_the_first_act_brings_a_lot_in_and_may_find_more_than_was_meant():
    assert do(Journal(), 130, step="soak").data["count"] == 130


def test_an_act_lies_between_the_one_before_it_and_the_one_after(journal: Journal):
    assert do(journal, 90, on=SOAKED).on == SOAKED
    assert "is before soak" in refused(lambda: do(journal, 90, on=SOAKED - timedelta(1)))
    assert "still to come" in refused(lambda: do(journal, 90, on=TODAY + timedelta(1)))
    told = Journal()
    told.tell("done", SOAKED, batch="Z1", step="stratify cold", count=90)
    assert do(told, 90, on=SOAKED, step="soak").on == SOAKED
    assert "is after stratify cold" in refused(lambda: do(told, 90, on=SOAKED + timedelta(1), step="soak"))
    assert "nothing of soak can be left" in refused(lambda: do(told, 50, left=40, on=SOAKED, step="soak"))


def test_nothing_is_done_twice_nor_after_it_was_dropped(journal: Journal):
    assert f"was already done on {SOAKED}, 100 went on from it" in refused(lambda: do(journal, 9, step="soak"))
    journal.take(acts.drop(lot(journal), "stratify cold", "no room", TODAY))
    assert "was dropped" in refused(lambda: do(journal, 9))
    assert "already dropped" in refused(lambda: acts.drop(lot(journal), "stratify cold", "", TODAY))
    assert "is done" in refused(lambda: acts.drop(lot(journal), "soak", "", TODAY))
    journal.take(acts.drop(lot(journal), "", "", TODAY))
    assert "already dropped" in refused(lambda: acts.drop(lot(journal), "", "", TODAY))
    assert "was dropped" in refused(lambda: do(journal, 9, step="sow"))


def test_a_look_is_at_what_has_begun_and_not_before_it(journal: Journal):
    assert "has not begun" in refused(lambda: acts.look(lot(journal), "stratify cold", "mould", TODAY, TODAY))
    journal.take(do(journal, 100, on=SOAKED))
    at = lot(journal)
    assert acts.look(at, "Stratify Cold", "mould", SOAKED, TODAY).data["step"] == "stratify cold"
    assert "is before" in refused(lambda: acts.look(at, "stratify cold", "mould", SOAKED - timedelta(1), TODAY))
    assert "did you mean" in refused(lambda: acts.look(at, "stratify cold", "mold", TODAY, TODAY))


def test_a_wait_has_a_reason_and_ends_where_there_is_one(journal: Journal):
    assert "needs a reason" in refused(lambda: acts.hold(lot(journal), "sow", "  ", TODAY))
    assert "is done" in refused(lambda: acts.hold(lot(journal), "soak", "rain", TODAY))
    assert "is not held" in refused(lambda: acts.release(lot(journal), "sow", TODAY))
    journal.take(acts.hold(lot(journal), "sow", " rain ", TODAY))
    assert lot(journal).held == {"sow": "rain"}
    journal.take(acts.release(lot(journal), "sow", TODAY))
    assert lot(journal).held == {}


def test_an_act_is_put_off_to_a_later_day_up_to_its_last(journal: Journal):
    plan = plan_lot(journal.nursery(), lot(journal), TODAY)
    assert plan.now.latest[plan.index("stratify cold") or 0] == date(2027, 3, 20).toordinal()
    assert acts.later(plan, "stratify cold", date(2027, 3, 20), TODAY).data["to"] == "2027-03-20"
    assert acts.later(plan, "stratify cold", TODAY + timedelta(1), TODAY).on == TODAY
    assert "the last day is 20 Mar" in refused(lambda: acts.later(plan, "stratify cold", date(2027, 3, 21), TODAY))
    assert "not later than today" in refused(lambda: acts.later(plan, "stratify cold", TODAY, TODAY))
    assert "is done" in refused(lambda: acts.later(plan, "soak", date(2027, 3, 1), TODAY))


def test_only_what_was_missed_is_accepted(journal: Journal):
    missed = plan_lot(journal.nursery(), lot(journal, "M1"), TODAY)
    assert acts.accept(missed, TODAY).data == {"batch": "M1"}
    assert "Z1 has missed nothing" in refused(
        lambda: acts.accept(plan_lot(journal.nursery(), lot(journal), TODAY), TODAY)
    )


def test_a_reason_is_taken_only_where_something_is_lost(journal: Journal):
    def with_cause(count: int, left: int = 0):
        return acts.do(
            journal.records, lot(journal), "stratify cold", acts.Told(count, left, cause="mould"), TODAY, TODAY
        )

    assert "none were lost" in refused(lambda: with_cause(100))
    assert "none were lost" in refused(lambda: with_cause(40, 60))
    assert with_cause(40, 50).data["cause"] == "mould"


def test_more_collected_than_was_meant_is_said_and_the_batch_goes_on_with_them():
    on = date(2026, 11, 20)
    home = farm(
        batch("B", 80, "2026-09-20", more='route = "stuck in autumn"\n').replace("Arbor ficta", "Ribes uva-crispa")
    )
    nursery, _ = opened(home, on.isoformat())
    fresh = acts.find_lot(nursery.records, "B")
    first, *_ = fresh.batch.protocol.steps
    made = acts.do(nursery.records, fresh, first.do, acts.Told(90), on, on)
    assert acts.said_of_rest(fresh, made).startswith("10 more than the 80")
    _, (plan,) = opened(home, on.isoformat(), entry(on.isoformat(), "done", first.do, count=90))
    assert plan.count(plan.chain.order[1]) == 90
