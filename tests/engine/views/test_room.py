"""Room by place and week: against a count of every day, against limits, and for a batch that is being thought of."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
import tomli

from engine.farm.reading import read_document, read_farm
from engine.farm.stock import Need
from engine.needs.prospect import prospect_of
from engine.needs.ways import ways
from engine.protocols.model import Species
from engine.records.rates import track_of
from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import Day, Plan, plan_all
from engine.schedule.room import held_by, limits_of, say_room
from engine.views.room import WEEKS, RoomLine, Rooms, room_view
from engine.views.ways import ways_view
from tests.engine.needs.homes import CUTTINGS, PLACES, SEED, batch, opened
from tests.engine.schedule.farms import NORTH, day

TODAY = "2027-01-20"
ROOMY = CUTTINGS.replace('do = "stick"\n', 'do = "stick"\nroom = "10 a metre of row"\n')


def home(room: str, *parts: str) -> tuple[Nursery, tuple[Plan, ...]]:
    places = PLACES.replace('name = "bed"\n', f'name = "bed"\nroom = "{room}"\n')
    text = NORTH + places + ROOMY + SEED + "".join(parts)
    reading = read_document(tomli.loads(text), text, "small.toml")
    assert not reading.problems, [p.message for p in reading.problems]
    assert reading.farm is not None
    return opened(reading.farm, TODAY)


def line_of(rooms: Rooms, place: str, unit: str) -> RoomLine:
    return next(line for line in rooms.lines if (line.place, line.unit) == (place, unit))


@pytest.mark.parametrize("on", ["2027-03-02", "2027-07-14", "2027-11-05"])
def test_the_load_of_every_week_is_what_a_count_of_each_day_finds(on: str):
    """The demo farm, all its lots, each place and unit, every day of fifty-two weeks."""
    farm = read_farm(Path(__file__).parents[3] / "demo_farm.toml").farm
    assert farm is not None
    nursery = open_nursery(farm, apply(farm, ()))
    plans, today = plan_all(nursery, day(on)), day(on)
    rooms = room_view(farm, plans, today)
    assert len(rooms.weeks) == WEEKS
    held = [h for plan in plans for h in held_by(farm, plan, today.toordinal())]
    assert len(held) > 30
    for line in rooms.lines:
        for n, start in enumerate(rooms.weeks):
            days = [start + timedelta(k) for k in range(7) if start + timedelta(k) >= today]
            counts = [
                sum(
                    h.amount
                    for h in held
                    if (h.place, h.unit) == (line.place, line.unit) and h.since <= d.toordinal() < h.until
                )
                for d in days
            ]
            assert line.load[n] == pytest.approx(max(counts, default=0)), (line.place, line.unit, start)
            assert (n in line.over) == (line.holds is not None and max(counts, default=0) > line.holds + 1e-6)


def test_every_limit_of_the_demo_is_shown_and_one_place_is_nearly_full():
    farm = read_farm(Path(__file__).parents[3] / "demo_farm.toml").farm
    assert farm is not None
    rooms = room_view(farm, plan_all(open_nursery(farm, apply(farm, ())), day("2027-03-02")), day("2027-03-02"))
    limits = limits_of(farm)
    assert len({place for place, _ in limits}) >= 3
    assert [(line.place, line.unit) for line in rooms.lines if line.holds is not None] == list(limits)
    shares = [max(line.load) / line.holds for line in rooms.lines if line.holds]
    assert 0.8 < max(shares) <= 1.0


def test_two_lots_that_share_a_bed_are_too_much_for_it_in_the_weeks_of_both():
    """200 and 150 cuttings at 10 a metre, from 1 March until they are lifted on 1 November and graded by then."""
    nursery, plans = home("30 m of row", batch("A", 200), batch("B", 150))
    rooms = room_view(nursery.farm, plans, day(TODAY))
    line = line_of(rooms, "bed", "metre of row")
    assert max(line.load) == pytest.approx(35)
    assert rooms.weeks[line.fullest] == date(2027, 3, 1)
    assert line.lots[line.fullest] == ("A", "B")
    assert rooms.weeks[line.over[0]] == date(2027, 3, 1)
    assert rooms.weeks[line.over[-1]] == date(2027, 10, 25)
    assert line_of(room_view(nursery.farm, plans[:1], day(TODAY)), "bed", "metre of row").over == ()


def test_a_place_that_holds_just_so_much_is_full_and_not_too_full():
    nursery, plans = home("35 m of row", batch("A", 200), batch("B", 150))
    line = line_of(room_view(nursery.farm, plans, day(TODAY)), "bed", "metre of row")
    assert (max(line.load), line.over) == (pytest.approx(35), ())


def test_what_is_asked_of_a_place_in_a_unit_that_it_does_not_give_is_told_without_a_limit():
    nursery, plans = home("9 trays", batch("A", 200))
    rooms = room_view(nursery.farm, plans, day(TODAY))
    assert line_of(rooms, "bed", "tray").holds == 9
    assert max(line_of(rooms, "bed", "tray").load) == 0
    other = line_of(rooms, "bed", "metre of row")
    assert (other.holds, max(other.load), other.over) == (None, pytest.approx(20), ())


def test_a_prospect_takes_room_for_so_many_by_the_share_that_is_left_then():
    nursery, plans = home("30 m of row")
    found = ways(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "", 10, None, 0.9))
    protocol = next(way.protocol for way in found if way.protocol.method == "hardwood cutting")
    track = track_of(nursery.records)
    found = prospect_of(nursery, protocol, "", day("2027-02-01"), None, day(TODAY), track)
    [held] = found.room(120)
    assert (held.place, held.unit, held.amount) == ("bed", "metre of row", pytest.approx(12))
    assert date.fromordinal(held.since) == date(2027, 3, 1)
    assert date.fromordinal(held.until) == found.ready
    assert say_room(found.room(120)) == "room: bed 12 m of row"
    assert say_room(()) == ""


def test_a_way_that_would_overfill_a_place_says_so_and_one_that_would_not_does_not():
    nursery, plans = home("30 m of row", batch("A", 200))

    def cuttings(count: int):
        found = ways(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "", count, day("2027-12-31"), 0.8))
        return next(way for way in found if way.protocol.method == "hardwood cutting")

    small, large = cuttings(40), cuttings(90)
    assert small.overfull == ()
    assert small.room[0].amount == pytest.approx(small.takes / 10)
    assert 20 + small.takes / 10 < 30 < 20 + large.takes / 10
    asked = f"{20 + large.takes / 10:,.0f}"
    [told] = large.overfull
    assert told.startswith(f"bed too full: {asked} of 30 m of row on ")
    assert told.endswith("Mar 27")


def test_a_place_that_is_too_full_already_at_another_time_is_no_fault_of_a_way():
    """The bed is too full in 2027; what is stuck in 2028 meets it empty."""
    nursery, plans = home("30 m of row", batch("A", 400))
    found = ways(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "", 40, day("2028-12-31"), 0.8))
    way = next(way for way in found if way.protocol.method == "hardwood cutting")
    assert date.fromordinal(way.room[0].since).year == 2028
    assert way.overfull == ()


def test_a_batch_that_is_being_thought_of_tells_its_room():
    nursery, plans = home("30 m of row", batch("A", 200))
    found = ways_view(Day(nursery, plans, day(TODAY)), Species("Arbor ficta"), "", 150, day("2027-02-01"), None)
    way = next(way for way in found if way.protocol.method == "hardwood cutting")
    assert "room: bed 15 m of row" in way.says()
    assert way.overfull == ("bed too full: 35 of 30 m of row on 1 Mar 27",)
