"""The room that a lot takes over its life: how much, where, from which day until which."""

from __future__ import annotations

from datetime import date

import pytest

from engine.schedule.room import Held, by_place, held_by, peak
from tests.engine.schedule.farms import day, entry, farm, iso, planned

STEPS = """
[[protocol.step]]
do = "stratify cold"
place = "store"
opens = ["1 Dec"]
closes = ["20 Dec"]
lasts_days = [100, 150]
room = "500 a litre"
[[protocol.step]]
do = "sow"
place = "beds"
opens = ["1 Apr"]
closes = ["12 May"]
survive = 0.5
room = "100 to 200 seedlings a square metre"
[[protocol.step]]
do = "thin"
place = "beds"
opens = ["1 Jun"]
closes = ["30 Jun"]
survive = 0.8
[[protocol.step]]
do = "lift"
place = "shed"
opens = ["1 Nov"]
closes = ["30 Nov"]
[[protocol.step]]
do = "pot up"
place = "shed"
opens = ["1 Dec"]
closes = ["20 Dec"]
lasts_days = 60
room = "1 a pot"
"""
SOWN = (
    entry("2026-12-01", "done", "stratify cold", count=240),
    entry("2027-04-03", "done", "sow", count=240),
)


def life(today: str, *entries, count: int = 240) -> list[tuple[str, str, float, str | None, str | None]]:
    home = farm(STEPS, "2026-11-20", count=count)
    held = held_by(home, planned(home, today, *entries), day(today).toordinal())
    return [(h.place, h.unit, round(h.amount, 6), iso(h.since), iso(h.until)) for h in held]


def test_a_lot_takes_room_from_act_to_act_for_as_many_as_are_then_left():
    """240 seeds at 500 a litre; half come up, 100 to a square metre at the loosest; 80 % of those are potted."""
    assert life("2026-11-20") == [
        ("store", "litre", 0.48, "2026-12-01", "2027-04-01"),
        ("beds", "square metre", 1.2, "2027-04-01", "2027-11-01"),
        ("shed", "pot", 96.0, "2027-12-01", "2028-01-30"),
    ]


def test_what_left_a_place_takes_none_there_and_what_is_done_counts_from_its_day():
    told = life("2027-04-10", *SOWN)
    assert [row[0] for row in told] == ["beds", "shed"]
    assert told[0][2:] == (1.2, "2027-04-03", "2027-11-01")


def test_losses_told_make_room_and_seedlings_counted_are_not_halved_again():
    counted = (SOWN[0], entry("2027-04-03", "done", "sow", count=90, into=240))
    assert life("2027-04-10", *counted)[0][2] == 0.9


def test_a_lot_that_is_given_up_or_done_takes_none():
    done = [
        entry(on, "done", step, count=96)
        for on, step in (("2027-06-10", "thin"), ("2027-11-05", "lift"), ("2027-12-02", "pot up"))
    ]
    assert [row[0] for row in life("2027-12-10", *SOWN, *done)] == ["shed"]
    assert life("2028-02-20", *SOWN, *done) == []


def test_parts_of_a_lot_take_no_more_together_than_the_whole():
    parted = (SOWN[0], entry("2027-04-03", "done", "sow", count=100, left=140, part="B/1"))
    home = farm(STEPS, "2026-11-20")
    beds = []
    for lot in ("B", "B/1"):
        held = held_by(home, planned(home, "2027-04-05", *parted, lot=lot), day("2027-04-05").toordinal())
        beds += [h.amount for h in held if h.place == "beds"]
    assert sum(beds) == pytest.approx(1.2)


def test_what_waits_in_the_store_is_not_moved_by_an_act_on_something_else():
    """Rootstocks lie in the cold store until they are grafted, while the scions are cut in the orchard."""
    steps = """
[[protocol.step]]
do = "arrive"
place = "store"
opens = ["1 Dec"]
closes = ["20 Dec"]
after = []
room = "4 a litre"
[[protocol.step]]
do = "collect scions"
place = "orchard"
opens = ["10 Jan"]
closes = ["31 Jan"]
after = []
[[protocol.step]]
do = "graft"
place = "bench"
after = ["arrive", "collect scions"]
opens = ["1 Mar"]
closes = ["31 Mar"]
"""
    home = farm(steps, "2026-11-20", count=40)
    [held] = held_by(home, planned(home, "2026-11-20"), day("2026-11-20").toordinal())
    assert (held.place, held.amount, iso(held.since), iso(held.until)) == ("store", 10, "2026-12-01", "2027-03-01")


def test_the_peak_is_the_most_on_any_day_and_the_day_of_leaving_counts_no_more():
    def held(amount: float, since: int, until: int) -> Held:
        return Held("B", "bench", "tray", amount, since, until)

    first = date(2027, 3, 1).toordinal()
    three = [held(2, first, first + 10), held(3, first + 10, first + 20), held(1, first + 5, first + 12)]
    most = peak(three, first, first + 30)
    assert (most.amount, most.day) == (4, first + 10)
    assert peak(three, first, first + 4).amount == 2
    assert peak(three, first + 20, first + 30).amount == 0
    assert list(by_place(three)) == [("bench", "tray")]
