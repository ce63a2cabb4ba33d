"""What the journal makes of plantings: what went out, what walks found, mended and undone, in any order."""

from __future__ import annotations

import pytest

from engine.acts.action import Refused
from engine.acts.plantings import ask_anew, take_over, walked
from engine.journal.entry import Entry
from engine.records.records import Records, apply
from engine.schedule.nursery import open_nursery
from tests.engine.needs.homes import farm, stock
from tests.engine.schedule.farms import day

BELT = """[[planting]]
name = "belt"
by = 2026-11-20
[[planting.position]]
id = "A"
species = "Arbor ficta"
count = 3
understudies = [{species = "Corylus avellana"}]
"""
OTHER = BELT.replace("belt", "orchard").replace('"A"', '"B"')
HOME = farm(stock("L", 20), BELT, OTHER)


def entry(on: str, kind: str, **data: object) -> Entry:
    return Entry(
        f"t-{on}-{kind}-{data.get('position', '')}{data.get('need', '')}", f"{on}T12:00:00+00:00", day(on), kind, data
    )


def walk(on: str, position: str, state: str, **more: object) -> Entry:
    return entry(on, "walked", planting="belt", position=position, state=state, **more)


def out(on: str, count: int, need: str = "belt 1") -> Entry:
    return entry(on, "plant_out", lot="L", form="bare root", grade="", place="bed", count=count, need=need)


def told(*entries: Entry) -> Records:
    return apply(HOME, entries)


def states(records: Records, planting: str = "belt") -> dict[str, str]:
    return {plant: life.state for plant, life in records.plantings.get(planting, {}).items()}


def test_what_goes_out_to_its_need_stands_in_the_order_of_the_design():
    found = told(out("2026-11-10", 2))
    assert states(found) == {"A.1": "alive", "A.2": "alive"}
    first = found.plantings["belt"]["A.1"]
    assert (first.planted, first.lot, first.form) == (day("2026-11-10"), "L", "bare root")
    assert states(told(out("2026-11-10", 2), out("2026-11-12", 1)))["A.3"] == "alive"


def test_a_lot_sent_to_several_plantings_stands_in_each():
    found = told(out("2026-11-10", 3), out("2026-11-11", 2, "orchard 1"))
    assert states(found, "orchard") == {"B.1": "alive", "B.2": "alive"}
    assert {life.lot for lives in found.plantings.values() for life in lives.values()} == {"L"}


def test_a_walk_tells_how_it_stands_and_the_latest_of_a_day_holds():
    found = told(
        out("2026-11-10", 3), walk("2028-06-01", "A.1", "bearing"), walk("2028-06-01", "A.2", "dead", cause="mown"),
        walk("2028-06-01", "A.3", "dead"), walk("2028-06-01", "A.3", "alive"),
    )  # fmt: skip
    assert states(found) == {"A.1": "bearing", "A.2": "dead", "A.3": "alive"}
    assert found.plantings["belt"]["A.2"].cause == "mown"
    assert (
        states(told(*[out("2026-11-10", 3), walk("2028-06-01", "A.1", "bearing"), walk("2029-06-01", "A.1", "alive")]))[
            "A.1"
        ]
        == "bearing"
    )


def test_what_is_found_alive_had_not_died_and_the_order_of_writing_does_not_matter():
    entries = [
        out("2026-11-10", 1),
        walk("2028-06-01", "A.1", "dead", cause="frost"),
        walk("2029-06-01", "A.1", "alive"),
    ]
    assert states(told(*entries)) == states(told(*reversed(entries))) == {"A.1": "alive"}
    assert [seen.state for seen in told(*entries).plantings["belt"]["A.1"].seen] == ["alive"]


def test_what_a_walk_finds_planted_is_asked_for_no_more():
    found = told(walk("2027-06-01", "A.1", "alive"), walk("2027-06-01", "A.1a", "alive"))
    assert found.plantings["belt"]["A.1"].planted == day("2026-11-20")
    assert found.farm is not None
    assert {need.id: need.count for need in found.farm.needs} == {
        "belt 1": 2,
        "belt 2": 2,
        "orchard 1": 3,
        "orchard 2": 3,
    }
    late = told(walk("2027-06-01", "A.1", "alive"), out("2027-06-02", 3))
    assert late.farm is not None
    assert next(need.count for need in late.farm.needs if need.id == "belt 1") == 3  # met by what went out
    assert late.plantings["belt"]["A.1"].out


def test_what_fits_nothing_is_told_and_changes_nothing():
    found = told(
        walk("2027-06-01", "A.9", "alive"), walk("2027-06-01", "A.1", "asleep"),
        walk("2027-06-01", "A.2", "dead", cause="boredom"),
        entry("2027-06-01", "walked", planting="field", state="alive"),
        entry("2027-06-01", "walked", planting=7, position=[], state=None),
    )  # fmt: skip
    assert len(found.strays) == 5
    assert states(found) == {}


def test_guards_and_notes_are_kept_beside_the_state():
    found = told(walk("2027-06-01", "A.1", "alive"), walk("2027-07-01", "A.1", "guard off", note="stolen"))
    life = found.plantings["belt"]["A.1"]
    assert (life.state, life.guard, life.notes) == ("alive", False, ((day("2027-07-01"), "stolen"),))


def nursery(*entries: Entry):
    return open_nursery(HOME, apply(HOME, entries))


def made(action, n: int = 0) -> Entry:
    return Entry(f"m-{n}", f"{action.on}T13:00:00+00:00", action.on, action.kind, action.data)


def test_an_understudy_takes_the_place_of_a_dead_first_choice_and_of_no_other():
    planted = [out("2026-11-10", 3), walk("2027-06-01", "A.1a", "alive"), walk("2027-06-01", "A.1", "dead")]
    action = take_over(nursery(*planted), "belt", "a.1A", day("2027-07-01"), day("2027-07-01"))
    found = told(*planted, made(action))
    assert found.plantings["belt"]["A.1a"].leads
    for position, reason in (("A.1", "is a first choice"), ("A.2a", "is wanted"), ("A.1a", "already")):
        with pytest.raises(Refused, match=reason):
            take_over(nursery(*planted, made(action)), "belt", position, day("2027-07-01"), day("2027-07-01"))
    with pytest.raises(Refused, match="its place is not free"):
        take_over(nursery(*planted[:2]), "belt", "A.1a", day("2027-07-01"), day("2027-07-01"))


def test_a_new_plant_is_asked_for_and_what_goes_out_to_it_stands_there():
    planted = [out("2026-11-10", 3), walk("2027-06-01", "A.2", "dead", cause="browsed")]
    action = ask_anew(nursery(*planted), planted, "belt", "A.2", day("2028-11-20"), day("2027-06-02"))
    asked = [*planted, made(action)]
    with pytest.raises(Refused, match="already"):
        ask_anew(nursery(*asked), asked, "belt", "A.2", day("2028-11-20"), day("2027-06-03"))
    with pytest.raises(Refused, match="no new plant is wanted"):
        ask_anew(nursery(*asked), asked, "belt", "A.1", day("2028-11-20"), day("2027-06-03"))
    found = told(*asked, out("2028-11-01", 1, str(action.data["need"])))
    life = found.plantings["belt"]["A.2"]
    assert (life.state, life.planted) == ("alive", day("2028-11-01"))
    assert [before.cause for before in life.earlier] == ["browsed"]


@pytest.mark.parametrize(
    ("state", "cause", "reason"),
    [("sleeping", "", "not a state"), ("alive", "frost", "only a dead plant"), ("dead", "boredom", "is not known"),
     ("note", "", "the note is empty")],
)  # fmt: skip
def test_a_walk_that_cannot_be_is_refused(state: str, cause: str, reason: str):
    with pytest.raises(Refused, match=reason):
        walked(nursery(), "belt", "A.1", state, day("2027-06-01"), day("2027-06-01"), cause)


def test_nothing_bears_before_it_is_planted():
    with pytest.raises(Refused, match="not planted yet"):
        walked(nursery(), "belt", "A.1", "bearing", day("2026-06-01"), day("2026-06-01"))
    with pytest.raises(Refused, match="was planted on"):
        walked(nursery(out("2026-11-10", 3)), "belt", "A.1", "dead", day("2026-11-01"), day("2027-01-01"))
    with pytest.raises(Refused, match="still to come"):
        walked(nursery(), "belt", "A.1", "alive", day("2027-06-02"), day("2027-06-01"))
    with pytest.raises(Refused, match="no planting is called"):
        walked(nursery(), "belts", "A.1", "alive", day("2027-06-01"), day("2027-06-01"))
