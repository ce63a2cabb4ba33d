"""What missed its window is told the other ways that are still open, and goes one of them with what is at hand."""

from __future__ import annotations

from datetime import date
from functools import cache

import tomli

from engine.acts.instead import take_instead
from engine.farm.model import Farm
from engine.farm.reading import read_document
from engine.journal.entry import Entry
from engine.records.rates import Track
from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import plan_lot
from engine.views.instead import ways_instead
from tests.engine.schedule.farms import NORTH, day, entry, lot_of

SEED = """
[[protocol]]
species = "Arbor ficta"
method = "seed"
route = "{route}"
whole = true
[[protocol.step]]
do = "collect"
opens = ["1 Sep"]
closes = ["31 Oct"]
[[protocol.step]]
do = "clean"
wait_days = [0, 30]
[[protocol.step]]
do = "sow"
opens = ["{opens}"]
closes = ["{closes}"]
survive = {survive}
[[protocol.step]]
do = "lift"
opens = ["1 Nov"]
closes = ["20 Dec"]
wait_days = 150
"""
TEXT = (
    NORTH
    + SEED.format(route="autumn", opens="1 Oct", closes="30 Nov", survive=0.5)
    + SEED.format(route="spring", opens="1 Apr", closes="10 May", survive=0.4)
    + SEED.format(route="late", opens="1 Sep", closes="30 Sep", survive=0.9)
    + SEED.format(route="winter", opens="5 Oct", closes="20 Nov", survive=0.9)
    + '[[batch]]\nid = "B"\nspecies = "Arbor ficta"\nmethod = "seed"\nroute = "autumn"\ncount = 200\n'
    + 'start = 2026-09-01\nfrom = "the lane"\ncame = 2026-10-09\n'
)
AT_HAND = [entry("2026-10-10", "done", "collect", count=200), entry("2026-10-20", "done", "clean", count=200)]
TODAY = date(2026, 12, 5)


@cache
def farm() -> Farm:
    reading = read_document(tomli.loads(TEXT), TEXT, "ways.toml")
    assert reading.farm is not None
    assert not reading.problems, [p.message for p in reading.problems]
    return reading.farm


def nursery_after(*entries: Entry) -> Nursery:
    home = farm()
    return open_nursery(home, apply(home, [*AT_HAND, *entries]))


def test_what_opens_before_the_next_chance_is_told_with_its_dates_and_what_it_gives() -> None:
    """Autumn sowing closed on 30 November and opens again on 1 October: the winter's, of 5 October, comes later."""
    nursery = nursery_after()
    found = ways_instead(nursery, plan_lot(nursery, lot_of(nursery.records), TODAY), TODAY, Track())
    assert [way.protocol.route for way in found] == ["spring", "late"]  # the soonest ready first
    spring = found[0]
    assert (spring.step, spring.first, spring.ready) == ("sow", day("2027-04-01"), day("2027-11-01"))
    assert (spring.likely, spring.at_hand) == (80, ("collect", "clean"))  # 0.4 of 200
    assert 0 < spring.sure < 80
    assert spring.says(TODAY).startswith("seed, spring: sow 1 Apr, ready 1 Nov 27, 80 likely of 200")


def test_nothing_is_offered_in_time_or_once_it_is_in_the_ground() -> None:
    nursery, in_time = nursery_after(), date(2026, 11, 20)
    assert ways_instead(nursery, plan_lot(nursery, lot_of(nursery.records), in_time), in_time, Track()) == ()
    sown, later = nursery_after(entry("2026-11-20", "done", "sow", count=200)), date(2027, 12, 24)
    assert ways_instead(sown, plan_lot(sown, lot_of(sown.records), later), later, Track()) == ()


def test_one_act_takes_it_with_what_is_at_hand_and_ends_the_old_lot() -> None:
    nursery = nursery_after()
    way = ways_instead(nursery, plan_lot(nursery, lot_of(nursery.records), TODAY), TODAY, Track())[0]
    actions = take_instead(nursery, AT_HAND, "B", way.protocol, way.at_hand, TODAY)
    assert [action.kind for action in actions] == ["batch", "done", "done", "drop"]
    told = [Entry(f"~{n}", f"2026-12-05T09:00:0{n}+00:00", a.on, a.kind, a.data) for n, a in enumerate(actions)]
    records = apply(farm(), [*AT_HAND, *told])
    assert not records.strays
    old, new = (lot_of(records, name) for name in ("B", str(actions[0].data["batch"])))
    assert old.given_up == TODAY
    assert records.trials == ()  # nothing is held against the way that was not gone
    assert (new.count, new.batch.protocol.route) == (200, "spring")
    assert (new.batch.source, new.batch.came) == ("the lane", day("2026-10-09"))  # it is the same seed
    done = {"collect": day("2026-10-10"), "clean": day("2026-10-20")}
    assert {step: act.day for step, act in new.done.items()} == done
    assert {held.lot: held.count for held in records.stock.holdings} == {new.id: 200}
