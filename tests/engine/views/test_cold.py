"""The cold store: which lots it shows, how far each is, when it is ready, and what a grower is told."""

from __future__ import annotations

from datetime import date

import pytest

from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.protocols.model import Days
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, plan_all
from engine.views.cold import ColdLot, cold_view, early_radicles, told_of_outage
from tests.engine.schedule.farms import COLD_THEN_SOW, NORTH, day, entry, farm, planned, states
from tui.strips.treatment import OUT, bar

WARM_COLD_SOW = """
[[protocol.step]]
do = "stratify warm"
place = "warm shelf"
lasts_days = [60, 80]
look_days = 10
[[protocol.step]]
do = "stratify cold"
place = "cold store"
medium = "moist peat"
lasts_days = [90, 120]
[[protocol.step]]
do = "sow"
opens = ["1 Apr"]
closes = ["12 May"]
"""
IN_STORE = COLD_THEN_SOW.replace('do = "stratify cold"', 'do = "stratify cold"\nplace = "cold store"')
HOME = farm(IN_STORE, "2026-12-01")
BEGUN = entry("2027-01-04", "done", "stratify cold", count=240)


def seen(home: Farm, today: str, *entries: Entry) -> tuple[ColdLot, ...]:
    nursery = open_nursery(home, apply(home, entries))
    return cold_view(Day(nursery, plan_all(nursery, day(today)), day(today)))


def only(home: Farm, today: str, *entries: Entry) -> ColdLot:
    (lot,) = seen(home, today, *entries)
    return lot


def look(on: str, finding: str = "nothing", step: str = "stratify cold") -> Entry:
    return entry(on, "look", step, finding=finding)


def outage(on: str, days: int, celsius: float) -> Entry:
    data = {"place": "cold store", "days": days, "temperature_c": celsius}
    return Entry(f"{on} outage", f"{on}T08:00:00+00:00", day(on), "outage", data)


def test_radicles_long_before_the_bed_opens_make_no_task_closing():
    """Seen 20 January, and the bed opens 1 April: the seed is held back or potted, and the sowing is not due."""
    early = look("2027-01-20", "radicles")
    plan = planned(HOME, "2027-01-25", BEGUN, early)
    assert states(plan, "2027-01-25")[1] == "later"
    assert states(planned(HOME, "2027-04-01", BEGUN, early), "2027-04-01")[1] == "closing"
    assert states(planned(HOME, "2027-04-09", BEGUN, early), "2027-04-09")[1] == "overdue"
    lot = only(HOME, "2027-01-25", BEGUN, early)
    assert (
        lot.advice[0]
        == "radicles seen 20 Jan before sow opens 1 Apr: pot what has sprouted, under cover; hold the rest at 1 to 2 °C"
    )


def test_a_short_mild_outage_early_in_the_cold_is_no_reason_to_sow():
    for entries in ((), (look("2027-01-10", "radicles"),)):
        lot = only(HOME, "2027-01-25", BEGUN, *entries, outage("2027-01-14", 2, 12))
        assert not any("sow now" in line or "sow or pot it now" in line for line in lot.advice)


def test_the_lot_remembers_an_outage_also_once_radicles_are_seen():
    happened = outage("2027-01-20", 4, 12)
    assert [(o.first, o.days) for o in only(HOME, "2027-02-20", BEGUN, happened).outages] == [(date(2027, 1, 17), 4)]
    lot = only(HOME, "2027-04-20", BEGUN, happened, look("2027-04-18", "radicles"))
    assert [o.days for o in lot.outages] == [4]
    assert any("4 days at 12 °C to 20 Jan" in line for line in lot.advice)
    assert OUT in bar(lot, date(2027, 4, 20), 30)


# -- how far it is


def test_a_lot_in_the_cold_with_its_day_its_ends_and_its_sowing():
    """Begun 4 January, 90 to 120 days: 4 April to 4 May; the bed is open from 1 April to 12 May."""
    lot = only(HOME, "2027-02-03", BEGUN)
    assert (lot.lot.id, lot.phase, lot.place, lot.day) == ("B", "cold", "cold store", 30)
    assert (lot.now.lasts.least, lot.now.lasts.most) == (90, 120)
    assert (lot.ready, lot.ready_latest) == (date(2027, 4, 4), date(2027, 5, 4))
    assert (lot.following, lot.opens, lot.sow_by) == ("sow", date(2027, 4, 1), date(2027, 5, 4))


@pytest.mark.parametrize(
    ("today", "looks", "expected"),
    [
        # Begun 4 January: every 14 days, from day 45 every 7, from day 90 twice a week (common practice).
        ("2027-01-05", (), "2027-01-18"),
        ("2027-01-18", (), "2027-01-18"),
        ("2027-01-25", (), "2027-01-25"),  # one was due a week ago: it is due now
        ("2027-01-25", ("2027-01-18",), "2027-02-01"),
        ("2027-02-01", ("2027-02-01",), "2027-02-15"),
        ("2027-02-16", ("2027-02-15",), "2027-02-22"),  # a week from the last
        ("2027-04-04", ("2027-04-01",), "2027-04-04"),
        ("2027-04-05", ("2027-04-05",), "2027-04-08"),
    ],
)
def test_the_next_look_is_by_the_recurrence_of_looks(today: str, looks: tuple[str, ...], expected: str):
    assert only(HOME, today, BEGUN, *(look(on) for on in looks)).next_look == day(expected)


@pytest.mark.parametrize(
    ("today", "stage", "told"),
    [
        ("2027-02-02", "", ""),  # day 29
        ("2027-02-03", "enough", "enough; best from 5 Mar, day 60: wait if you can"),
        ("2027-03-05", "best", "minimum chill reached: look twice a week until the bed opens"),
        ("2027-04-05", "enough", "ready: sow by 4 May"),  # day 91
        ("2027-05-05", "too long", "too long, 1 day past its maximum: sow as soon as you can"),
    ],
)
def test_the_tracker_says_when_the_cold_is_enough_at_its_best_and_too_long(today: str, stage: str, told: str):
    home = farm(IN_STORE.replace("[90, 120]", "[30, 120]\nbest_days = [60, 90]"), "2026-12-01")
    lot = only(home, today, BEGUN)
    assert (lot.now.stage, lot.now.best) == (stage, Days(60, 90))
    assert told in " | ".join(lot.advice)


def test_cold_that_is_enough_and_cannot_be_better_before_the_bed_closes_says_so():
    home = farm(IN_STORE.replace("[90, 120]", "[30, 120]\nbest_days = [60, 90]"), "2027-03-01")
    lot = only(home, "2027-05-01", entry("2027-03-30", "done", "stratify cold", count=240))
    assert "enough; longer is no better: sow by 12 May" in lot.advice


def test_an_outage_moves_the_best_on_with_the_least():
    home = farm(IN_STORE.replace("[90, 120]", "[30, 120]\nbest_days = [60, 90]"), "2026-12-01")
    lot = only(home, "2027-02-03", BEGUN, outage("2027-01-20", 4, 12))
    assert (lot.now.lasts, lot.now.best) == (Days(34, 120), Days(64, 90))


def test_warm_then_cold_is_shown_whole():
    home = farm(WARM_COLD_SOW, "2026-10-01")
    warm = entry("2026-10-15", "done", "stratify warm", count=240)
    lot = only(home, "2026-11-14", warm)
    assert (lot.phase, lot.day, lot.place, lot.now.lasts.least) == ("warm", 30, "warm shelf", 60)
    assert [(p.name, p.begun) for p in lot.phases] == [("warm", True), ("cold", False)]
    assert lot.ready == lot.phases[1].start + (date(2027, 4, 1) - date(2027, 1, 1))  # type: ignore[operator]
    assert lot.next_look == day("2026-11-14")  # every ten days from 15 October; none was taken
    cold = entry("2026-12-20", "done", "stratify cold", count=240)
    lot = only(home, "2027-01-19", warm, cold)
    assert (lot.phase, lot.day, lot.place) == ("cold", 30, "cold store")
    assert (lot.phases[0].gone, lot.phases[0].ended) == (66, date(2026, 12, 20))


# -- which lots


def test_a_treatment_is_shown_from_thirty_days_before_it_begins_until_what_follows_is_done():
    later = farm(IN_STORE, "2027-01-02")  # the cold begins on 2 January at the soonest
    assert seen(later, "2026-12-02") == ()
    lot = only(later, "2026-12-03")
    assert (lot.begun, lot.day, lot.now.start, lot.next_look) == (False, None, date(2027, 1, 2), None)
    assert only(HOME, "2027-04-09", BEGUN).day == 95
    assert seen(HOME, "2027-04-10", BEGUN, entry("2027-04-10", "done", "sow", count=200)) == ()


def test_a_lot_that_was_given_up_is_gone():
    assert seen(HOME, "2027-02-03", BEGUN, entry("2027-02-01", "drop")) == ()


def test_what_has_run_stands_first_and_what_has_not_begun_last():
    more = "".join(
        f'[[batch]]\nid = "{name}"\nspecies = "Arbor ficta"\nmethod = "seed"\ncount = 9\nstart = {start}\n'
        for name, start in (("C", "2026-12-01"), ("D", "2027-02-10"))
    )
    home = farm(IN_STORE + more, "2026-12-01")
    entries = (
        BEGUN,
        entry("2027-01-10", "done", "stratify cold", batch="C", count=9),
        entry("2027-02-01", "look", "stratify cold", batch="C", finding="radicles"),
    )
    assert [lot.lot.id for lot in seen(home, "2027-02-03", *entries)] == ["C", "B", "D"]


# -- what is told


def test_radicles_before_the_bed_opens_are_potted_and_the_rest_held_back():
    """The Woody Plant Seed Manual (2008), Prunus, p. 887: where radicles come too early, cool to near freezing."""
    lot = only(HOME, "2027-02-20", BEGUN, look("2027-02-19", "radicles"))
    assert (lot.radicles, lot.ready) == (date(2027, 2, 19), date(2027, 2, 19))
    assert (lot.now.lasts.least, lot.now.lasts.most) == (90, 120)
    assert "before sow opens 1 Apr" in lot.advice[0]
    assert "1 to 2 °C" in lot.advice[0]
    assert early_radicles(lot, day("2027-02-20")) == ""


def test_radicles_with_the_bed_open_are_sown():
    lot = only(HOME, "2027-04-02", BEGUN, look("2027-04-01", "radicles"))
    assert lot.advice[0] == "radicles seen 1 Apr: sow within 7 days, by 8 Apr"
    assert lot.sow_by == date(2027, 4, 8)


def test_what_to_do_should_radicles_come_early_is_told_beforehand():
    assert "before 1 Apr" in early_radicles(only(HOME, "2027-02-03", BEGUN), day("2027-02-03"))
    assert "sow at once" in early_radicles(only(HOME, "2027-04-05", BEGUN), day("2027-04-05"))


@pytest.mark.parametrize(("begun", "early"), [("2026-12-18", False), ("2026-12-17", True), ("2026-12-01", True)])
def test_a_lot_that_will_be_ready_long_before_its_bed_opens_is_told_in_time(begun: str, early: bool):
    """90 days from 18 December end on 18 March, 14 days before 1 April; from the 17th, 15 days."""
    lot = only(HOME, "2026-12-20", entry(begun, "done", "stratify cold", count=240))
    told = [line for line in lot.advice if "slow it" in line]
    assert bool(told) == early
    assert all("1 to 2 °C" in line and "pot" in line for line in told)


def test_a_lot_that_has_had_its_least_is_ready_and_past_its_most_is_told_so():
    assert only(HOME, "2027-04-06", BEGUN).advice == ("ready: sow by 4 May",)
    assert "past its maximum" in only(HOME, "2027-05-08", BEGUN).advice[0]


def test_what_the_last_look_found_is_told_until_another_finds_nothing():
    mouldy = (BEGUN, look("2027-01-18", "mould"))
    assert any("mould 18 Jan" in line for line in only(HOME, "2027-02-03", *mouldy).advice)
    assert not any("mould" in line for line in only(HOME, "2027-02-03", *mouldy, look("2027-02-01")).advice)
    assert any("squeeze out" in line for line in only(HOME, "2027-02-03", BEGUN, look("2027-01-18", "dry")).advice)


def test_an_outage_moves_the_ends_and_is_told():
    """The store stood at 12 °C for three days: the least grows by three, the most does not (common practice)."""
    lot = only(HOME, "2027-02-03", BEGUN, outage("2027-02-01", 3, 12))
    assert (lot.day, lot.now.lasts.least, lot.now.lasts.most) == (30, 93, 120)
    assert lot.ready == date(2027, 4, 7)
    assert any("3 days at 12 °C to 1 Feb" in line for line in lot.advice)


def test_each_lot_that_stood_there_is_told_of_an_outage():
    home = farm(IN_STORE, "2026-12-01")
    records = apply(home, (BEGUN, outage("2027-02-01", 3, 12)))
    nursery = open_nursery(home, records)
    today = day("2027-02-03")
    assert told_of_outage(Day(nursery, plan_all(nursery, today), today), records.outages[0]) == ("B: add the days",)


def test_a_lot_that_drying_killed_is_told_for_a_month():
    acorns = '[[species]]\nlatin = "Arbor ficta"\ndrying_kills = true\n'
    home = farm(IN_STORE, "2026-12-01", site=NORTH + acorns)
    dried = look("2027-02-01", "dry through")
    lot = only(home, "2027-02-03", BEGUN, dried)
    assert (lot.phase, lot.ready, lot.sow_by, lot.next_look) == ("lost", None, None, None)
    assert "the lot is lost" in lot.advice[0]
    assert len(seen(home, "2027-03-03", BEGUN, dried)) == 1
    assert seen(home, "2027-03-04", BEGUN, dried) == ()


def test_other_seed_that_dried_through_begins_anew():
    lot = only(HOME, "2027-02-03", BEGUN, look("2027-02-01", "dry through"))
    assert (lot.phase, lot.now.lasts.least) == ("cold", 118)  # 28 days gone, and 90
    assert any("count starts again" in line for line in lot.advice)


def test_peat_and_mould_are_cautioned_where_the_protocol_does_not():
    home = farm(WARM_COLD_SOW, "2026-10-01")
    cold = entry("2026-12-20", "done", "stratify cold", count=240)
    told = " ".join(only(home, "2027-01-19", cold).cautions)
    assert "dust" in told
    assert "spores" in told
    assert "Peat" not in " ".join(only(HOME, "2027-02-03", BEGUN).cautions)


def test_a_lot_that_no_year_fits_is_still_shown_with_the_reason():
    short = IN_STORE.replace('closes = ["12 May"]', 'closes = ["3 Apr"]').replace("[90, 120]", "[90, 95]")
    lot = only(farm(short, "2026-12-01"), "2027-03-20", entry("2026-12-01", "done", "stratify cold", count=240))
    assert lot.day == 109
    assert any("14 days past its maximum" in line for line in lot.advice)
    assert any("sow cannot come within 95 days of stratify cold" in line for line in lot.advice)
