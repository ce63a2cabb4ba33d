"""The facts of a task: what a look tells of a treatment, and the odds of a step."""

from __future__ import annotations

from engine.odds.rates import Went
from engine.protocols.model import Protocol, Step
from engine.records.rates import Track, act_of, learned_for
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, plan_lot
from engine.views.panel import odds, panel
from engine.views.week import week_view
from tests.engine.schedule.farms import COLD_THEN_SOW, day, entry, farm, lot_of


def test_look_after_radicles_counts_the_cold_as_it_was_planned() -> None:
    """90 to 120 days of cold from 20 December; radicles on day 20 make sowing due, but do not shorten the cold told."""
    home = farm(COLD_THEN_SOW, "2026-11-01")
    cold = entry("2026-12-20", "done", "stratify cold", count=200)
    seen = entry("2027-01-09", "look", "stratify cold", finding="radicles")
    records = apply(home, (cold, seen))
    today = day("2027-01-20")
    nursery = open_nursery(home, records)
    plan = plan_lot(nursery, lot_of(records), today)
    [look] = [task for task in week_view(Day(nursery, [plan], today)).tasks if task.kind == "look"]
    told, found = panel(home, look, today).why
    assert told.endswith("of 90 to 120 days")
    assert found == "last look 9 Jan: radicles"


def test_the_odds_lean_on_the_growers_own_batches_once_there_are_some():
    """From the book 80 of 100; after four batches of which half came through, fewer; and it says what it rests on."""
    step = Step("stick", survive=0.8, source={"survive": "common practice"})
    protocol = Protocol("Sambucus nigra", "hardwood cutting", "", (step,))
    act = act_of(protocol, "", "stick")
    book = odds(step, 100, learned_for(Track(), protocol, "", step))
    track = Track({act: (Went(50, 100),) * 4}, {("Sambucus", "hardwood cutting", "stick"): (act,)})
    own = odds(step, 100, learned_for(track, protocol, "", step))
    assert "expect about 80 of 100" in book
    assert "from 4 batches of yours; library 80 %" in own
    share = int(own.removeprefix("expect about ").split()[0])
    assert 50 < share < 70
