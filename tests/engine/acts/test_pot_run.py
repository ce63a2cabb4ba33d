"""Radicles before the bed is open: what has sprouted is potted as a lot of its own; the rest goes on in the cold."""

from __future__ import annotations

import pytest

from engine.acts.action import Refused
from engine.acts.propagation import pot_run
from engine.journal.entry import Entry
from engine.records.lots import POTTED
from engine.records.records import Records, apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import plan_lot
from tests.engine.schedule.farms import COLD_THEN_SOW, dates, day, entry, farm, lot_of, states

HOME = farm(f"{COLD_THEN_SOW}survive = 0.5\n", "2026-12-20")
COLD = entry("2027-01-04", "done", "stratify cold", count=240)
SEEN = entry("2027-02-20", "look", "stratify cold", finding="radicles")
TODAY = day("2027-02-20")


def potted(count: int = 12, *after: Entry) -> Records:
    records = apply(HOME, [COLD, SEEN])
    made = pot_run(records, lot_of(records), count, "windowsill", TODAY, TODAY)
    return apply(HOME, [COLD, SEEN, entry("2027-02-20", made.kind, **made.data), *after])


def test_what_has_run_is_sown_apart_and_stands_where_the_pots_are() -> None:
    records = potted()
    assert not records.strays
    part = lot_of(records, "B/1")
    assert (part.count, part.going, sorted(part.done)) == (12, True, ["sow", "stratify cold"])
    assert [(held.count, held.place) for held in records.stock.of("B/1")] == [(12, "windowsill")]


def test_the_rest_goes_on_as_if_none_had_run() -> None:
    """Its sowing is meant for April again, after the least of its cold, and is not pressed."""
    records = potted()
    rest = lot_of(records)
    assert (rest.count, rest.radicles("stratify cold")) == (228, None)
    assert rest.looks[-1].finding == POTTED
    plan = plan_lot(open_nursery(HOME, records), rest, TODAY)
    assert dates(plan.now, "aims") == ["2027-01-04", "2027-04-04"]
    assert states(plan, "2027-02-20") == ["done", "later"]
    again = potted(12, entry("2027-02-27", "look", "stratify cold", finding="radicles"))
    assert lot_of(again).radicles("stratify cold") == day("2027-02-27")


def test_it_is_refused_where_nothing_has_run_and_for_more_than_there_are() -> None:
    unseen = apply(HOME, [COLD])
    with pytest.raises(Refused, match="no radicles were seen"):
        pot_run(unseen, lot_of(unseen), 12, "", TODAY, TODAY)
    seen = apply(HOME, [COLD, SEEN])
    with pytest.raises(Refused, match="1 or more"):
        pot_run(seen, lot_of(seen), 0, "", TODAY, TODAY)
    with pytest.raises(Refused, match="cannot have come through"):
        pot_run(seen, lot_of(seen), 241, "", TODAY, TODAY)


def test_where_all_have_run_the_whole_lot_is_sown() -> None:
    records = potted(240)
    assert [lot.id for lot in records.lots] == ["B"]
    assert "sow" in lot_of(records).done
