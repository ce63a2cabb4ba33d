"""The stock always adds up, whatever is recorded, undone, parted and joined, by one device or by three."""

from __future__ import annotations

import random
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from engine.acts.action import Refused
from engine.acts.undoing import ids_at_once, undo
from engine.journal.entry import Entry, to_line
from engine.journal.store import journal_folder, read_journal, standing
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from tests.engine.records.farms import TODAY, Journal, adds_up, entry, farm_of, held, undone
from tests.sampled import examples

FARM = farm_of()
LOTS = ["P1", "P2", "L1", "Z1", "Z2", "Z3", "M1", "Z1/1", "Z2/1", "ghost"]
FORMS = ["seed", "seedling", "liner", "1 L pot", "bare root"]
PLACES = ["potting shed", "cold store", "seed beds", "standing ground", "north bed"]
counts = st.integers(0, 120)
QUICK = (Phase.explicit, Phase.reuse, Phase.generate)
"""Without shrinking: a failing history of whole farms takes minutes to shrink, and tells enough as it is."""


@st.composite
def told(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """Anything that a journal may hold of the stock, right or wrong."""
    lot, other = draw(st.sampled_from(LOTS)), draw(st.sampled_from(LOTS))
    at = {
        "lot": lot,
        "form": draw(st.sampled_from(FORMS)),
        "grade": draw(st.sampled_from(["", "first"])),
        "place": draw(st.sampled_from(PLACES)),
    }
    count, to = draw(counts), draw(st.sampled_from(PLACES))
    kind = draw(
        st.sampled_from(
            ["receive", "move", "pot_up", "grade", "sell", "give", "plant_out", "lose", "count", "split", "join",
             "doubt", "verify", "done", "done", "done", "drop", "look", "row", "came"]
        )
    )  # fmt: skip
    match kind:
        case "receive":
            species = draw(st.sampled_from(["Fictus ripensis", "Fictus montana"]))
            return kind, {**at, "species": species, "cultivar": draw(st.sampled_from(["", "Pale"])), "count": count}
        case "move":
            return kind, {**at, "count": count, "to": to}
        case "pot_up":
            return kind, {**at, "count": count, "to_form": draw(st.sampled_from(FORMS)), "to": to}
        case "grade":
            return kind, {**at, "grades": {"first": count, "second": draw(counts)}}
        case "split":
            return kind, {**at, "count": count, "into": draw(st.sampled_from(["L1", "P1/1", f"{lot}/9"]))}
        case "join":
            return kind, {"lot": lot, "into": other}
        case "done":
            step = draw(st.sampled_from(["soak", "stratify cold", "sow", "collect"]))
            data: dict[str, Any] = {"batch": lot, "step": step, "count": count}
            if draw(st.booleans()):
                data["left"] = draw(counts)
            elif draw(st.booleans()):
                data["join"] = [other]
            return kind, data
        case "drop":
            return kind, {"batch": lot}
        case "came":
            return kind, {
                "batch": lot,
                "step": draw(st.sampled_from(["sow", "stick", ""])),
                "item": "pots",
                "count": count,
            }
        case "look":
            return kind, {"batch": lot, "step": "stratify cold", "finding": "nothing"}
        case "row":
            return kind, {"place": to, "row": "1", "lots": [[lot, 2.5, count]]}
    return kind, {**at, "count": count, "need": draw(st.sampled_from(["", "FAIR"]))}


class Grower(RuleBasedStateMachine):
    """Records, right and wrong, and undoes; what the book says is checked after each."""

    def __init__(self) -> None:
        super().__init__()
        self.entries: list[Entry] = []

    def write(self, kind: str, **data: Any) -> Entry:
        made = entry(len(self.entries), kind, TODAY - timedelta(len(self.entries) % 5), **data)
        self.entries.append(made)
        return made

    @rule(what=told())
    def record(self, what: tuple[str, dict[str, Any]]) -> None:
        self.write(what[0], **what[1])

    @rule(data=st.data())
    def record_of_what_is_there(self, data: st.DataObject) -> None:
        """An act on a holding that there is, so that it is not refused."""
        holdings = apply(FARM, standing(self.entries)).stock.holdings
        if not holdings:
            return
        one = data.draw(st.sampled_from(holdings))
        kind = data.draw(st.sampled_from(["move", "pot_up", "sell", "lose", "split", "count"]))
        more = {
            "to": data.draw(st.sampled_from(PLACES)),
            "to_form": "1 L pot",
            "into": f"{one.lot}/{len(self.entries)}",
        }
        count = data.draw(st.integers(0, one.count))
        self.write(kind, lot=one.lot, form=one.form, grade=one.grade, place=one.place, count=count, **more)

    @rule(data=st.data())
    def do_the_next_act(self, data: st.DataObject) -> None:
        """An act of a lot under propagation, whole or in part, with the parts that are as far on joined."""
        lots = [x for x in apply(FARM, standing(self.entries)).lots if x.count]
        if not lots:
            return
        lot = data.draw(st.sampled_from(lots))
        step = next((s.do for s in lot.batch.protocol.steps if s.do not in lot.done), None)
        if step is None:
            return
        left = data.draw(st.integers(0, lot.count - 1))
        told: dict[str, Any] = {"left": left} if left else {"join": [x.id for x in lots if x.id != lot.id]}
        came = data.draw(st.integers(0, lot.count + 20))
        self.write("done", batch=lot.id, step=step, count=came, **told)

    @rule(data=st.data())
    def undo_any(self, data: st.DataObject) -> None:
        if self.entries:
            self.write("undo", of=data.draw(st.sampled_from(self.entries)).id)

    @rule(what=told())
    def undoing_restores_exactly(self, what: tuple[str, dict[str, Any]]) -> None:
        before = apply(FARM, standing(self.entries), watch=None)
        made = self.write(what[0], **what[1])
        self.write("undo", of=made.id)
        assert apply(FARM, standing(self.entries), watch=None) == before

    @rule(acts=st.lists(told(), min_size=2, max_size=4), at=st.data())
    def undoing_what_was_written_at_once_restores_exactly(
        self, acts: list[tuple[str, dict[str, Any]]], at: st.DataObject
    ) -> None:
        """As the device that wrote them undoes them; what another wrote since and they would strand is refused."""
        before = apply(FARM, standing(self.entries), watch=None)
        ids = ids_at_once(f"shed-{len(self.entries):05}", len(acts))
        first = entry(len(self.entries), "note")
        made = [Entry(name, first.at, TODAY, kind, data) for name, (kind, data) in zip(ids, acts, strict=True)]
        self.entries += made
        if at.draw(st.booleans()):
            kind, data = at.draw(told())
            self.entries.append(entry(len(self.entries), kind, device="office", **data))
        known = standing(self.entries)
        records = apply(FARM, known)
        try:
            action, undone = undo(open_nursery(FARM, records), known, "shed")
        except Refused:
            rest = [e for e in known if e not in made]
            assert len(apply(FARM, rest).strays) > len(before.strays)
            return
        assert list(undone) == made
        self.write(action.kind, **action.data)
        after = apply(FARM, standing(self.entries), watch=None)
        if self.entries[-2] is made[-1]:
            assert after == before
        else:
            assert {stray.partition(": ")[0] for stray in after.strays} <= {
                stray.partition(": ")[0] for stray in records.strays
            }

    @invariant()
    def adds_up_reads_the_same_twice_and_a_lot_under_propagation_counts_what_the_book_has(self) -> None:
        records = apply(FARM, standing(self.entries))
        adds_up(records.stock)
        assert apply(FARM, standing(self.entries)) == records
        book = held(records.stock)
        for lot in records.lots:
            if (key := records.stock.current.get(lot.id)) is not None and lot.given_up is None:
                assert book.get(key, 0) == lot.count, lot.id


Grower.TestCase.settings = examples(
    30,
    stateful_step_count=25,
    phases=QUICK,
    suppress_health_check=[HealthCheck.too_slow],
)
TestGrower = Grower.TestCase


@given(st.lists(st.tuples(told(), st.sampled_from(["lamp", "shed", "office"])), max_size=25), st.randoms())
@examples(60)
def test_three_devices_files_give_one_result_in_whatever_order_they_are_read(
    acts: list[tuple[tuple[str, dict[str, Any]], str]], chance: random.Random
):
    entries = [entry(n, kind, device=device, **data) for n, ((kind, data), device) in enumerate(acts)]
    for k in range(0, len(entries), 6):
        entries = undone(entries, entries[k], 500 + k)
    expected = apply(FARM, standing(entries), watch=None)
    with tempfile.TemporaryDirectory() as root:
        folder = journal_folder(Path(root) / "hollow.toml")
        folder.mkdir()
        names = ["a", "b", "c"]
        chance.shuffle(names)
        for name, device in zip(names, ("lamp", "shed", "office"), strict=True):
            mine = [to_line(e) for e in entries if e.id.startswith(device)]
            (folder / f"{name}.jsonl").write_bytes(b"".join(mine))
        read, faults = read_journal(folder)
    assert not faults
    found = apply(FARM, standing(read), watch=None)
    assert found == expected
    adds_up(found.stock)


def test_a_part_done_apart_and_joined_again_is_counted_once():
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", count=100)
    journal.tell("done", batch="Z1", step="stratify cold", count=35, left=60, part="Z1/1")
    assert {k[0]: n for k, n in held(journal.stock).items() if k[0].startswith("Z1")} == {"Z1": 60, "Z1/1": 35}
    journal.tell("done", batch="Z1", step="stratify cold", count=58, join=["Z1/1"])
    assert {k[0]: n for k, n in held(journal.stock).items() if k[0].startswith("Z1")} == {"Z1": 93}
    assert journal.stock.flows["Fictus ripensis", ""] == (150, 7)
    adds_up(journal.stock)


def test_a_part_split_from_a_lot_under_propagation_goes_through_the_same_steps():
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", count=100)
    [holding] = journal.stock.of("Z1")
    journal.tell("split", lot="Z1", form=holding.form, grade="", place=holding.place, count=40, into="Z1/1")
    counts = {lot.id: lot.count for lot in journal.records.lots}
    assert (counts["Z1"], counts["Z1/1"]) == (60, 40)
    part = journal.records.lot("Z1/1")
    assert part is not None
    assert set(part.done) == {"soak"}


def test_a_lot_of_which_everything_left_is_not_asked_for_again_and_a_find_brings_it_back():
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", count=100)
    [holding] = journal.stock.of("Z1")
    at = {"lot": "Z1", "form": holding.form, "grade": "", "place": holding.place}
    journal.tell("lose", **at, count=100, cause="mice")
    lot = journal.records.lot("Z1")
    assert lot is not None
    assert (lot.count, lot.given_up) == (0, TODAY)
    journal.tell("count", **at, count=12)
    lot = journal.records.lot("Z1")
    assert lot is not None
    assert (lot.count, lot.given_up) == (12, None)
    adds_up(journal.stock)


def strays_of(journal: Journal) -> str:
    return " | ".join(journal.records.strays)


def test_lots_of_two_plants_are_not_joined_by_whatever_device_wrote_it():
    """What another device, or an editor, wrote is held to the same: neither species nor cultivar may differ."""
    journal = Journal()
    at = {"form": "1 L pot", "place": "north bed", "count": 5}
    journal.tell("receive", lot="L1", species="Fictus montana", cultivar="", **at)
    journal.tell("receive", lot="L2", species="Fictus ripensis", cultivar="Pale", **at)
    before = held(journal.stock)
    for lot, into in (("P1", "L1"), ("L1", "P1"), ("P1", "L2"), ("L2", "P1"), ("P1", "P1")):
        journal.tell("join", lot=lot, into=into)
    assert held(journal.stock) == before
    assert len(journal.records.strays) == strays_of(journal).count("are different plants") == 5
    journal.tell("join", lot="L2", into="P2")
    assert ("P2", "1 L pot", "", "north bed") in held(journal.stock)


def test_what_is_lost_meets_no_need_and_what_leaves_for_it_does():
    journal = Journal()
    at = {"lot": "P1", "form": "1 L pot", "grade": "", "place": "standing ground", "need": "FAIR"}
    journal.tell("lose", **at, count=3, cause="slugs")
    assert journal.stock.met == {}
    for kind in ("sell", "give", "plant_out"):
        journal.tell(kind, **at, count=2)
    assert journal.stock.met == {"FAIR": 6}
    assert held(journal.stock)["P1", "1 L pot", "", "standing ground"] == 41


def test_a_part_moved_away_leaves_the_rest_where_the_next_act_finds_it():
    journal = Journal()
    journal.tell("done", batch="Z1", step="soak", count=100)
    [holding] = journal.stock.of("Z1")
    at = {"lot": "Z1", "form": holding.form, "grade": "", "place": "potting shed"}
    journal.tell("move", **at, count=40, to="seed beds")
    lot = journal.records.lot("Z1")
    assert lot is not None
    assert (journal.stock.current["Z1"][3], lot.count) == ("potting shed", 60)
    journal.tell("move", **at, count=60, to="north bed")
    lot = journal.records.lot("Z1")
    assert lot is not None
    assert (journal.stock.current["Z1"][3], lot.count) == ("north bed", 60)
    adds_up(journal.stock)
