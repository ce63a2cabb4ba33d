"""Whatever is parted, joined, lost, counted or undone between, a batch teaches one share, and each loss counts once."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.protocols.model import Protocol
from engine.records.counts_teach import CAUSES, Trial, by_step, is_accident
from engine.records.rates import results_of
from engine.records.records import Records, apply
from tests.engine.needs.homes import batch, farm

COUNT = 302
HOME = farm(batch("B", COUNT, method="seed", start="2026-12-15"))
DAY = date(2027, 4, 10)
WORK = st.lists(
    st.tuples(
        st.sampled_from(["sow", "split", "join", "lose", "sell", "count", "undo"]),
        st.integers(0, 9),
        st.floats(0, 1),
        st.sampled_from(["mould", "mice", "none came up"]),
    ),
    max_size=14,
)


class Shed:
    """A journal in memory, and beside it a plain count of what was sown, taken and found."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []

    @property
    def records(self) -> Records:
        return apply(HOME, standing(self.entries))

    def tell(self, kind: str, **data: Any) -> None:
        n = len(self.entries)
        self.entries.append(Entry(f"shed-{n:04}", f"2027-04-10T08:00:{n:02}+00:00", DAY, kind, data))

    def of_stock(self, kind: str, lot: str, **data: Any) -> None:
        held = next(h for h in self.records.stock.holdings if h.lot == lot)
        self.tell(kind, lot=lot, form=held.form, grade=held.grade, place=held.place, **data)

    def recount(self) -> tuple[int, int]:
        """How many were sown, less what an accident or a sale took, and how many were found, from the entries alone."""
        sown = found = 0
        uncounted: dict[str, int] = {}
        for entry in standing(self.entries):
            data, lot = entry.data, str(entry.data.get("lot") or entry.data.get("batch"))
            count = int(data.get("count", 0))
            if entry.kind == "done" and data["step"] == "sow":
                sown += count
                uncounted[str(data.get("part") or lot)] = count
            elif entry.kind == "split" and lot in uncounted:
                uncounted[str(data["into"])] = count
                uncounted[lot] -= count
            elif entry.kind == "join" and lot in uncounted:
                uncounted[str(data["into"])] += uncounted.pop(lot)
            elif entry.kind in ("lose", "sell") and lot in uncounted:
                uncounted[lot] -= count
                taken = entry.kind == "sell" or data.get("cause") == "mice"
                sown -= count if taken else 0
            elif entry.kind == "count" and lot in uncounted:
                found += count
                del uncounted[lot]
        return sown, found


@given(WORK)
def test_a_batch_teaches_the_share_that_a_plain_count_of_its_entries_gives(work: list[tuple[str, int, float, str]]):
    shed = Shed()
    shed.tell("done", batch="B", step="stratify cold", count=COUNT)
    for kind, which, share, cause in work:
        records = shed.records
        lots = [lot for lot in records.lots if lot.count > 0 and lot.given_up is None]
        lot = lots[which % len(lots)] if lots else None
        if lot is None:
            break
        some = int(lot.count * share)
        sown = "sow" in lot.done
        if kind == "sow" and not sown:
            if 0 < some < lot.count:
                shed.tell(
                    "done",
                    batch=lot.id,
                    step="sow",
                    count=some,
                    left=lot.count - some,
                    part=f"{lot.id}/{len(shed.entries)}",
                )
            else:
                shed.tell("done", batch=lot.id, step="sow", count=lot.count)
        elif kind == "split" and sown and 0 < some < lot.count:
            shed.of_stock("split", lot.id, count=some, into=f"{lot.id}-{len(shed.entries)}")
        elif kind == "join" and sown:
            other = next((o for o in lots if o.id != lot.id and "sow" in o.done and o.going and lot.going), None)
            if other is not None:
                shed.tell("join", lot=other.id, into=lot.id)
        elif kind == "lose" and lot.going and 0 < some < lot.count:
            shed.of_stock("lose", lot.id, count=some, cause=cause)
        elif kind == "sell" and lot.going and 0 < some < lot.count:
            shed.of_stock("sell", lot.id, count=some)
        elif kind == "count" and lot.going:
            shed.of_stock("count", lot.id, count=some)
        elif kind == "undo" and len(shed.entries) > 1 and shed.entries[-1].kind != "undo":
            shed.tell("undo", of=shed.entries[-1].id)
    for lot in shed.records.lots:
        if lot.count > 0 and "sow" not in lot.done:
            shed.tell("done", batch=lot.id, step="sow", count=lot.count)
    for lot in shed.records.lots:
        if lot.going and lot.count > 0:
            shed.of_stock("count", lot.id, count=lot.count // 2)
    records = shed.records
    assert not records.strays
    assert not any(lot.going and lot.count for lot in records.lots)
    _, into, came = results_of(records).get(("B", "sow"), (None, 0, 0))
    assert (into, came) == shed.recount()


def test_sowing_302_teaches_nothing_and_170_found_at_lifting_are_the_share():
    shed = Shed()
    shed.tell("done", batch="B", step="stratify cold", count=COUNT)
    shed.tell("done", batch="B", step="sow", count=COUNT)
    assert results_of(shed.records) == {}
    shed.tell("done", batch="B", step="lift", count=170)
    assert [found[1:] for found in results_of(shed.records).values()] == [(302, 170)]


@pytest.mark.parametrize(
    ("trial", "told"),
    [
        (("sow",), [("sow", 100, 40)]),
        (("stratify cold", "sow"), [("sow", 100, 40)]),
        (("stratify cold",), []),
    ],
)
def test_only_a_step_that_loses_plants_is_taught(trial: tuple[str, ...], told: list[tuple[str, int, int]]):
    assert by_step(HOME.batches[0].protocol, Trial("B", trial, 100, 40, DAY, "")) == told


def cuttings() -> Protocol:
    return farm(batch("C", 100)).batches[0].protocol


def test_what_two_steps_lost_together_is_laid_to_each_as_the_book_expects():
    """The book: 0.8 by 0.9. Of 100 came 72: each as the book has it. Of none, the one that loses most is at fault."""
    both = ("stick", "lift")
    assert by_step(cuttings(), Trial("C", both, 100, 72, DAY, "")) == [("stick", 100, 80), ("lift", 80, 72)]
    assert by_step(cuttings(), Trial("C", both, 100, 0, DAY, "")) == [("stick", 100, 0)]
    (_, into, middle), (_, through, came) = by_step(cuttings(), Trial("C", both, 1000, 300, DAY, ""))
    assert (into, came) == (1000, 300)
    assert middle == through
    assert 300 < middle < 1000


def test_a_cause_tells_the_method_from_an_accident():
    assert {cause for cause in CAUSES if is_accident(cause, False)} == {
        "mice", "fridge", "nozzle", "power", "frost", "flood", "hail", "wind", "deer", "rabbits", "slugs", "theft"
    }  # fmt: skip
    assert is_accident("the mice again", False)
    assert not is_accident("None rooted at all", True)
    assert is_accident("", True)
    assert not is_accident("", False)


def test_a_count_on_any_day_resizes_what_follows_and_one_with_an_accident_teaches_nothing():
    """302 sown are 302 to lift at the most; 170 counted are 170, and the share is learned; mice are no look at it."""
    for reason, learned in (("", [(302, 170)]), ("mice", [])):
        shed = Shed()
        shed.tell("done", batch="B", step="sow", count=COUNT)
        shed.of_stock("count", "B", count=170, **({"reason": reason} if reason else {}))
        lot = shed.records.lot("B")
        assert lot is not None
        assert (lot.count, lot.going, lot.under) == (170, False, ())
        assert [(trial.into, trial.came) for trial in shed.records.trials] == learned
