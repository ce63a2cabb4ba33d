"""Any entry is corrected, taken back or had again; the farm is then as if it had been recorded right from the start."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.acts.action import Refused
from engine.acts.correcting import correct, redo, redo_one, take_back_one
from engine.acts.propagation import Told, do
from engine.acts.undoing import reach, undo
from engine.farm.model import Farm as Model
from engine.journal.entry import Entry, to_line
from engine.journal.store import read_journal, standing
from engine.records.rates import results_of
from engine.records.records import Records, apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.views.entries import entry_lines
from tests.engine.needs.homes import batch, farm
from tests.engine.schedule.farms import farm as of_steps

COUNT = 302
HOME = farm(batch("B", COUNT, method="seed", start="2026-12-15"))
PLACE = HOME.places[0].name
DAY = date(2027, 4, 10)
TODAY = DAY + timedelta(60)


class Farm:
    """A journal in memory, of two devices, with what mends it."""

    def __init__(self, home: Model = HOME) -> None:
        self.home, self.entries = home, list[Entry]()

    @property
    def nursery(self) -> Nursery:
        return open_nursery(self.home, self.records)

    @property
    def records(self) -> Records:
        return apply(self.home, standing(self.entries), watch=None)

    def tell(self, kind: str, on: date = DAY, device: str = "shed", **data: Any) -> str:
        n = len(self.entries)
        name = f"{device}-{n:012x}"
        self.entries.append(Entry(name, f"2027-04-10T08:{n // 60:02}:{n % 60:02}+00:00", on, kind, data))
        return name

    def correct(self, name: str, on: date | None = None, device: str = "shed", **changes: Any) -> Entry:
        action, after = correct(self.nursery, self.entries, name, TODAY, on, changes)
        self.tell(action.kind, action.on, device, **action.data)
        return after

    def take_back(self, name: str) -> None:
        action, _ = take_back_one(self.nursery, self.entries, name)
        self.tell(action.kind, action.on, **action.data)

    def undo(self) -> tuple[Entry, ...]:
        action, undone = undo(self.nursery, self.entries, "shed")
        self.tell(action.kind, action.on, **action.data)
        return undone

    def redo(self, name: str = "") -> tuple[Entry, ...]:
        made = redo_one(self.nursery, self.entries, name) if name else redo(self.nursery, self.entries, "shed")
        self.tell(made[0].kind, made[0].on, **made[0].data)
        return made[1]

    def of_stock(self, kind: str, count: int, on: date = DAY, **data: Any) -> str:
        held = next(h for h in self.records.stock.holdings if h.lot == "B")
        return self.tell(kind, on, lot="B", form=held.form, grade=held.grade, place=held.place, count=count, **data)


@pytest.fixture
def begun() -> Farm:
    """Seed in the cold since 8 March, sown on 10 April, 40 lost to mould, 170 counted in June."""
    home = Farm()
    home.tell("done", date(2027, 3, 8), batch="B", step="stratify cold", count=COUNT)
    home.tell("done", DAY, batch="B", step="sow", count=COUNT)
    home.of_stock("lose", 40, date(2027, 5, 1), cause="mould")
    home.of_stock("count", 170, date(2027, 6, 1))
    return home


def test_a_wrong_day_is_set_right_wherever_it_stands_in_the_journal(begun: Farm):
    cold, *_ = [e.id for e in begun.entries]
    begun.correct(cold, date(2027, 3, 1))
    lot = begun.records.lot("B")
    assert lot is not None
    assert (lot.done["stratify cold"].day, lot.done["sow"].day) == (date(2027, 3, 1), DAY)
    assert begun.entries[0].on == date(2027, 3, 8)  # as it was written


def test_a_count_set_right_is_what_the_batch_teaches(begun: Farm):
    counted = begun.entries[3].id
    begun.correct(counted, count=150)
    [(_, into, came)] = [each for (_, step), each in results_of(begun.records, TODAY).items() if step == "sow"]
    assert (into, came) == (COUNT, 150)


def test_it_is_refused_where_the_entry_could_not_have_been_recorded_so(begun: Farm):
    cold, sown, lost, _ = [e.id for e in begun.entries]
    for name, on, changes, told in (
        (sown, date(2027, 3, 1), {}, "is before stratify cold"),
        (cold, date(2027, 4, 20), {}, "is after sow, done 2027-04-10"),
        (cold, TODAY + timedelta(1), {}, "still to come"),
        (sown, None, {"count": 400}, "400 cannot have come through"),
        (lost, None, {"count": 400}, "400 of B wanted"),
        (sown, None, {"colour": "red"}, 'no "colour" can be corrected'),
        (sown, DAY, {"count": COUNT}, "nothing changes"),
    ):
        with pytest.raises(Refused, match=told):
            begun.correct(name, on, **changes)
    assert len(begun.entries) == 4


def test_no_more_go_on_than_were_found_however_many_seeds_a_fruit_has():
    """Cleaning counts anew: more seeds may come of it than fruits went in, but no more are kept than found."""
    steps = ("collect", "clean", "stratify cold")
    home = Farm(of_steps("".join(f'[[protocol.step]]\ndo = "{step}"\n' for step in steps), "2027-03-01"))
    home.tell("done", date(2027, 3, 7), batch="B", step="collect", count=100)
    cleaned = home.tell("done", date(2027, 3, 8), batch="B", step="clean", there=300, count=285)

    def refuses(**changes: int) -> None:
        with pytest.raises(Refused, match="cannot go on when") as refused:
            home.correct(cleaned, **changes)
        assert refused.value.hint == "lower how many go on too, or count again"

    refuses(there=280)
    refuses(count=301)
    home.tell("done", date(2027, 3, 9), batch="B", step="stratify cold", count=200)
    refuses(there=280)  # also once another act has followed
    assert home.correct(cleaned, there=280, count=270).data["there"] == 280


def test_it_is_refused_where_what_came_later_would_fit_no_more_and_told_which(begun: Farm):
    sold = begun.of_stock("sell", 160, date(2027, 6, 5), to="the hall")
    with pytest.raises(Refused, match="2027-06-05 sell B"):
        begun.correct(begun.entries[3].id, count=100)
    begun.take_back(sold)
    assert begun.correct(begun.entries[3].id, count=100).data["count"] == 100


def test_a_day_is_refused_on_which_what_was_sold_meanwhile_was_not_there_yet():
    home = Farm()
    species = HOME.batches[0].species
    held = {"lot": "L1", "form": "liner", "grade": "", "place": PLACE, "count": 50}
    came = home.tell("receive", species=species, cultivar="", origin="bought", **held)
    home.tell("sell", DAY + timedelta(5), **{**held, "count": 20})
    with pytest.raises(Refused, match="2027-04-15 sell L1"):
        home.correct(came, DAY + timedelta(9))
    assert home.correct(came, DAY + timedelta(4)).on == DAY + timedelta(4)


def test_a_correction_is_corrected_and_taken_back_like_any_entry(begun: Farm):
    sown = begun.entries[1].id
    begun.correct(sown, count=300)
    begun.correct(begun.entries[-1].id, count=298)  # of the correction, the entry itself is meant
    assert begun.records.lot("B").done["sow"].into == COUNT  # type: ignore[union-attr]
    assert [e.data["count"] for e in standing(begun.entries) if e.id == sown] == [298]
    begun.undo()
    assert [e.data["count"] for e in standing(begun.entries) if e.id == sown] == [300]
    begun.undo()
    assert [e.data["count"] for e in standing(begun.entries) if e.id == sown] == [COUNT]
    begun.redo()
    assert [e.data["count"] for e in standing(begun.entries) if e.id == sown] == [300]


def test_what_was_undone_is_had_again_one_by_one_until_something_new_is_recorded(begun: Farm):
    before = begun.records
    first, second = begun.undo(), begun.undo()
    assert begun.redo() == second
    assert begun.redo() == first
    assert begun.records == before
    with pytest.raises(Refused, match="nothing to redo"):
        begun.redo()
    [gone] = begun.undo()
    begun.tell("note", batch="B", text="mice about")
    with pytest.raises(Refused, match="nothing to redo"):
        begun.redo()
    assert begun.redo(gone.id) == (gone,)


def test_any_entry_is_taken_back_but_not_one_on_which_others_rest(begun: Farm):
    lost = begun.entries[2].id
    begun.take_back(lost)
    with pytest.raises(Refused, match="is already undone"):
        begun.take_back(lost)
    with pytest.raises(Refused, match="was undone"):
        begun.correct(lost, count=3)
    assert begun.redo(lost)[0].id == lost
    [sown] = [e.id for e in standing(begun.entries) if e.data.get("step") == "sow"]
    with pytest.raises(Refused, match="depend on it: 2027-05-01 lose B"):
        begun.take_back(sown)


def test_the_list_tells_what_was_said_first_and_what_was_taken_back(begun: Farm):
    cold, _, lost, _ = [e.id for e in begun.entries]
    begun.correct(cold, date(2027, 3, 1))
    begun.take_back(lost)
    lines = {line.entry.id: line for line in entry_lines(begun.entries, begun.records, "B")}
    assert lines[cold].state == "corrected"
    assert (lines[cold].words, lines[cold].was) == (f"B: stratify cold done, {COUNT}", "8 Mar 27")
    assert lines[lost].state == "undone"
    assert [line.entry.on for line in lines.values()] == sorted(
        (line.entry.on for line in lines.values()), reverse=True
    )
    assert entry_lines(begun.entries, begun.records, "C") == ()


WORK = st.lists(
    st.tuples(
        st.sampled_from(["cold", "sow", "lose", "sell", "count", "correct", "correct", "correct", "undo", "redo"]),
        st.integers(0, 11),
        st.floats(0, 1),
        st.integers(-9, 9),
        st.sampled_from(["shed", "desk"]),
    ),
    min_size=4,
    max_size=16,
)


@given(WORK, st.randoms(use_true_random=False))
def test_a_history_with_corrections_is_the_history_written_right_from_the_start(work: list[Any], luck: Any):
    home = Farm()
    right: dict[str, list[tuple[date | None, dict[str, Any]]]] = {}
    for kind, which, share, days, device in work:
        lot = home.records.lot("B")
        assert lot is not None
        some = 1 + int((lot.count - 1) * share) if lot.count else 0
        on = DAY + timedelta(days)
        told = [e for e in home.entries if e.kind not in ("correct", "undo")]
        try:
            if kind == "cold" and not lot.done:
                home.tell("done", DAY, device, batch="B", step="stratify cold", count=some)
            elif kind == "sow" and "stratify cold" in lot.done and "sow" not in lot.done:
                home.tell("done", DAY + timedelta(20), device, batch="B", step="sow", count=some)
            elif kind in ("lose", "sell", "count") and lot.done and some:
                n = home.of_stock(kind, some, DAY + timedelta(21), **({"cause": "mould"} if kind == "lose" else {}))
                assert n
            elif kind == "correct" and told:
                meant = told[which % len(told)]
                change = {"count": int(COUNT * share)} if which % 2 else {}
                moved = None if which % 2 and which % 3 else next(e.on for e in told if e is meant) + timedelta(days)
                home.correct(meant.id, moved, device, **change)
                right.setdefault(meant.id, []).append((moved, change | {"by": home.entries[-1].id}))
            elif kind == "undo":
                home.undo()
            elif kind == "redo":
                home.redo()
        except Refused:
            continue
        assert on  # every piece of work was tried
    stand = {e.id for e in standing(home.entries)}
    history = []
    for entry in home.entries:
        if entry.id in stand and entry.kind not in ("correct", "undo"):
            day, data = entry.on, dict(entry.data)
            for moved, change in right.get(entry.id, ()):
                if change["by"] in stand:
                    day = moved or day
                    data |= {key: value for key, value in change.items() if key != "by"}
            history.append(Entry(entry.id, entry.at, day, entry.kind, data))
    meant = apply(HOME, history, watch=None)
    assert home.records == meant
    with TemporaryDirectory() as folder:  # the devices' files, whichever comes first, one of them twice
        files = ["a", "b", "copy"]
        luck.shuffle(files)
        for device, name in (("shed", files[0]), ("desk", files[1]), ("shed", files[2])):
            lines = [to_line(e) for e in home.entries if e.id.startswith(device)]
            Path(folder, f"{name}.jsonl").write_bytes(b"".join(lines))
        found, faults = read_journal(Path(folder))
        assert not faults
        assert apply(HOME, standing(found), watch=None) == meant


def test_an_act_told_after_the_one_that_follows_it_is_taken_where_the_counts_allow_it():
    """302 in the cold; 170 were lifted, and only then was the sowing told."""
    home = Farm()
    home.tell("done", date(2027, 3, 8), batch="B", step="stratify cold", count=COUNT)
    home.tell("done", date(2027, 6, 1), batch="B", step="lift", count=170)
    whole = results_of(home.records, TODAY)
    assert {step: each[1:] for (_, step), each in whole.items()} == {"sow": (COUNT, 170)}  # it was lived through

    def told(count: int | None) -> dict[str, Any]:
        lot = home.records.lot("B")
        assert lot is not None
        return do(home.records, lot, "sow", Told(count), DAY, TODAY).data

    for count, why in (
        (400, "400 cannot have been there for sow of B: 302 went on from stratify cold, done 2027-03-08"),
        (150, "150 cannot have gone on from sow of B: 170 were there at lift, done 2027-06-01"),
    ):
        with pytest.raises(Refused) as refused:
            told(count)
        assert str(refused.value) == why
        assert "correct that entry first" in refused.value.hint
    assert told(None) == {"batch": "B", "step": "sow", "count": COUNT}  # as many as went into the lifting
    home.tell("done", DAY, **told(COUNT))
    assert results_of(home.records, TODAY) == whole
    home.correct(home.entries[-1].id, count=250)  # 52 were thrown out before they were sown
    assert {step: each[1:] for (_, step), each in results_of(home.records, TODAY).items()} == {"sow": (250, 170)}
    lot = home.records.lot("B")
    assert lot is not None
    assert lot.count == 170


def test_what_is_taken_back_reaches_as_far_as_the_first_of_it_and_a_place_through_everything():
    notes = [Entry(f"shed-{n:06x}", f"{DAY}T08:00:{n:02}+00:00", DAY, "note", {"batch": "B"}) for n in range(9)]
    assert [reach(notes, [note]) for note in notes] == [*range(8, -1, -1)]
    assert reach(notes, [notes[7], notes[2]]) == 6
    place = Entry("shed-000100", f"{DAY}T09:00:00+00:00", DAY, "place", {"place": PLACE, "now": {"room": ["9 trays"]}})
    assert reach([*notes, place], [place]) == 10
