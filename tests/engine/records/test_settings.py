"""Places, prices and hours that the journal sets: by the file's own rules, from the start, until the file says else."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.acts.action import Action, Refused
from engine.acts.settings import set_hours, set_place, set_price
from engine.farm.model import Farm
from engine.farm.paste import said as as_toml
from engine.farm.places import MONTH_KEYS
from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.records.records import Records, apply
from engine.records.settings import place_of, said_hours, said_price
from engine.records.words import said
from engine.schedule.plan import Day, plan_all
from engine.schedule.room import limits_of
from engine.views.week import week_view
from tests.engine.needs.homes import batch, farm
from tests.engine.records.desk import Desk, entry

ON = date(2027, 3, 1)
PLACES = '[[place]]\nname = "cold store"\nroom = "80 litres"\n'
PRICES = '[[price]]\nitem = "rootstock"\neach = 1.2\n[[price]]\nitem = "pot"\nhundred = 22\n'


def home(places: str = PLACES, prices: str = PRICES, hours: str = "14") -> Farm:
    return farm(f"[farm]\nhours_per_week = {hours}\n", batch("A", 100), places, prices)


def sets(desk: Desk, *actions: Any) -> Farm:
    for make in actions:
        desk.take(make(desk.nursery))
    assert desk.records.strays == ()
    found = desk.records.farm
    assert found is not None
    return found


def test_a_new_place_and_a_limit_hold_as_if_the_file_said_so():
    now = sets(
        Desk(home(), ON),
        lambda n: set_place(n, "sand bed", {"under_cover": True, "room": ["12 m of row"], "serves": ["seed beds"]}, ON),
        lambda n: set_place(n, "Cold  store", {"room": ["120 litres"]}, ON),
    )
    said_so = home(
        '[[place]]\nname = "cold store"\nroom = "120 litres"\n'
        '[[place]]\nname = "sand bed"\nunder_cover = true\nroom = "12 m of row"\nserves = "seed beds"\n'
    )
    assert now.places == said_so.places
    assert now.place_for("seed beds") == "sand bed"
    assert limits_of(now) == limits_of(said_so)


def test_prices_and_hours_hold_as_if_the_file_said_so():
    now = sets(
        Desk(home(), ON),
        lambda n: set_price(n, "rootstock", "", {"each": 1.5}, ON),
        lambda n: set_price(n, "seed", "hazel", {"kg": 14}, ON),
        lambda n: set_hours(n, {"jan": 6, "apr": 20}, ON),
    )
    assert {(p.item, p.species): said_price(p) for p in now.prices} == {
        ("pot", ""): {"hundred": 22}, ("rootstock", ""): {"each": 1.5}, ("seed", "Corylus avellana"): {"kg": 14},
    }  # fmt: skip
    assert now.hours_by_month == (6, 14, 14, 20, *(14,) * 8)  # months that are not named stay
    assert said_hours(now) == {**dict.fromkeys(MONTH_KEYS, 14), "jan": 6, "apr": 20}
    assert now.hours_by_month == home(hours=as_toml(said_hours(now))).hours_by_month


def test_they_are_said_in_words_and_undo_takes_each_back():
    desk = Desk(home(), ON)
    told = []
    for make in (
        lambda n: set_place(n, "cold store", {"room": ["120 litres"], "under_cover": False}, ON),
        lambda n: set_price(n, "seed", "hazel", {"packet": 3.5, "seeds": 200}, ON),
        lambda n: set_hours(n, 12, ON),
    ):
        told.append(said(desk.take(make(desk.nursery))))
        desk.undo()
        assert desk.records.farm == desk.home
    assert told == [
        "place cold store: in the open, room for 120 litres (1 Mar)",
        "seed of Corylus avellana costs 3.5 a packet of 200 (1 Mar)",
        "hours a week: 12 (1 Mar)",
    ]


@pytest.mark.parametrize(
    ("make", "told", "hint"),
    [
        (lambda n: set_place(n, "cold stor", {"room": ["1 tray"]}, ON), 'no place is called "cold stor"', "cold store"),
        (lambda n: set_place(n, "", {"room": ["1 tray"]}, ON), "name is a text in quotes", ""),
        (lambda n: set_place(n, "bed", {"room": ["plenty"]}, ON), "room: ", "40 trays"),
        (lambda n: set_place(n, "bed", {"lot_loss_per_year": 7}, ON), "lot_loss_per_year = 7 is out of range", ""),
        (lambda n: set_place(n, "bed", {"colour": "red"}, ON), '"colour" is not a key', ""),
        (lambda n: set_place(n, "bed", {"lot_loss_per_year": 0.05}, ON), "nothing about bed would change", ""),
        (lambda n: set_price(n, "spade", "", {"each": 9}, ON), 'item "spade" is not known', "rootstock"),
        (lambda n: set_price(n, "rootstock", "", {"kg": 9}, ON), "only seed is sold by the kg", ""),
        (lambda n: set_price(n, "rootstock", "", {"each": None}, ON), "it says nothing", ""),
        (lambda n: set_price(n, "seed", "hazle", {"kg": 9}, ON), 'species "hazle" is not known', "hazel"),
        (lambda n: set_price(n, "pot", "", {"hundred": 22}, ON), "the price of pot would not change", ""),
        (lambda n: set_hours(n, 14, ON), "the hours would not change", ""),
        (lambda n: set_hours(n, 200, ON), "hours_per_week = 200 is out of range", "0 to 168"),
        (lambda n: set_hours(n, {"janvier": 3}, ON), '"janvier" is not a key', ""),
    ],
)
def test_what_the_reader_of_the_file_refuses_is_refused_with_its_remedy(make: Any, told: str, hint: str):
    with pytest.raises(Refused) as caught:
        make(Desk(home(), ON).nursery)
    assert told in str(caught.value)
    assert hint in caught.value.hint


def test_once_the_file_says_something_else_the_file_stands():
    desk = Desk(home(), ON)
    desk.take(set_price(desk.nursery, "rootstock", "", {"each": 1.5}, ON))
    desk.take(set_place(desk.nursery, "cold store", {"room": ["120 litres"]}, ON))
    desk.take(set_hours(desk.nursery, 12, ON))
    assert [e.data["was"] for e in desk.entries] == [{"each": 1.2}, {"room": ["80 litres"]}, 14]
    written = home(PLACES.replace("80", "200"), PRICES.replace("1.2", "1.8"), "20")
    records = apply(written, desk.entries)
    assert (records.farm, records.strays) == (written, ())
    only_prices = apply(home(prices=PRICES.replace("1.2", "1.8")), desk.entries).farm
    assert only_prices is not None
    assert [said_price(p) for p in only_prices.prices] == [{"each": 1.8}, {"hundred": 22}]
    assert (place_of(only_prices, "cold store").room, only_prices.hours_by_month[0]) == (("120 litres",), 12)


def test_a_place_that_the_file_lists_since_is_the_files():
    desk = Desk(home(), ON)
    desk.take(set_place(desk.nursery, "sand bed", {"room": ["12 m of row"]}, ON))
    written = home(PLACES + '[[place]]\nname = "sand bed"\n')
    assert apply(written, desk.entries).farm == written


def test_two_devices_that_set_one_thing_come_to_the_same_and_the_later_stands():
    some = [
        entry(0, "place", ON, "shed", place="sand bed", now={"under_cover": True}, was=None),
        entry(1, "place", ON, place="sand bed", now={"room": ["40 trays"]}, was=None),
        entry(2, "price", ON, "shed", item="pot", now={"each": 0.3}, was={"hundred": 22}),
        entry(3, "price", ON, item="pot", now={"each": 0.4}, was={"hundred": 22}),
    ]
    found = apply(home(), some).farm
    assert found is not None
    place = place_of(found, "Sand bed")
    assert place is not None
    assert (place.under_cover, place.room) == (True, ("40 trays",))
    assert [said_price(p) for p in found.prices if p.item == "pot"] == [{"each": 0.4}]


def test_a_slow_clock_that_books_a_lot_at_a_place_before_it_was_told_of_loses_nothing():
    late = entry(5, "place", ON, "shed", place="sand bed", now={"under_cover": True}, was=None)
    outage = entry(0, "outage", ON, place="sand bed", days=2, temperature_c=9.0)
    assert apply(home(), [outage, late]).strays == ()
    assert apply(home(), [outage]).strays != ()


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=6),
    st.lists(st.text(max_size=4), max_size=2),
    st.sampled_from(("40 trays", "cold store", "rootstock", 1.5)),
)  # fmt: skip
TABLES = st.one_of(
    VALUES,
    st.dictionaries(
        st.sampled_from(("room", "under_cover", "serves", "each", "kg", "packet", "seeds", "jan", "name")), VALUES
    ),
)


@given(
    st.sampled_from(("place", "price", "hours")),
    st.dictionaries(st.sampled_from(("place", "item", "species", "now", "was")), TABLES),
)
def test_whatever_such_an_entry_holds_it_sets_something_or_is_told(kind: str, data: Mapping[str, Any]):
    desk = Desk(home(), ON)
    records = apply(desk.home, [Entry("odd-1", "2027-03-01T08:00:00+00:00", ON, kind, dict(data))])
    assert records.farm is not None
    assert not records.strays or records.farm == desk.home


def test_the_week_and_the_plans_go_by_what_is_set_whatever_was_kept():
    desk = Desk(home(), ON)
    day = Day(desk.nursery, plan_all(desk.nursery, ON), ON)
    week = week_view(day)
    desk.take(set_hours(desk.nursery, 3, ON))
    desk.take(set_place(desk.nursery, "bed", {"under_cover": True}, ON))
    nursery = desk.nursery
    after = week_view(Day(nursery, plan_all(nursery, ON, day), ON), before=week)
    assert [task.under_cover for task in week.tasks] == [False]
    assert [task.under_cover for task in after.tasks] == [True]
    assert (week.hours_available, after.hours_available) == (14, 3)


def test_the_farm_is_the_same_one_while_only_batches_and_acts_are_told():
    desk = Desk(home(), ON)
    desk.take(set_hours(desk.nursery, 3, ON))
    ground = desk.records.farm.written
    told = {"batch": "N", "species": "Arbor ficta", "method": "seed", "count": 9, "start": "2027-09-01"}
    desk.take(Action("batch", ON, told))
    records: Records = apply(desk.home, standing(tuple(desk.entries)))
    assert records.farm.written is ground
    assert records.farm.of_file is desk.home
