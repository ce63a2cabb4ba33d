"""What was ordered has come: it is bought in, the lot goes on with it, the order says how many (common practice)."""

from __future__ import annotations

import pytest

from engine.acts.action import Refused
from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.needs.arrivals import came
from engine.needs.orders import OrderLine, OrderPart, order_lines
from engine.records.records import Records, apply
from engine.records.words import said
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, plan_all
from engine.views.trace import inspection
from tests.engine.needs.homes import farm
from tests.engine.needs.test_orders_and_review import GRAFT, grafts
from tests.engine.records.farms import adds_up
from tests.engine.schedule.farms import day, entry

HOME = farm(GRAFT, grafts("A", 60), grafts("B", 30))
ORDERED = entry("2026-10-01", "done", "order", batch="A", count=60)
TODAY = day("2026-12-01")


class Shed:
    """A farm whose arrivals are told as they come."""

    def __init__(self, *entries: Entry) -> None:
        self.entries = list(entries)

    @property
    def records(self) -> Records:
        return apply(HOME, standing(self.entries), watch=None)

    def comes(self, lot: str = "A", on: str = "2026-12-01", **how: object) -> Entry:
        nursery = open_nursery(HOME, self.records)
        action = came(Day(nursery, plan_all(nursery, day(on)), day(on)), lot, day(on), **how)  # type: ignore[arg-type]
        made = Entry(f"shed-{len(self.entries)}", f"{on}T12:00:{len(self.entries):02}+00:00", action.on, action.kind,
                     action.data)  # fmt: skip
        self.entries.append(made)
        adds_up(self.records.stock)
        return made

    def line(self, item: str = "rootstocks", on: str = "2026-12-02") -> OrderLine:
        nursery = open_nursery(HOME, self.records)
        return next(line for line in order_lines(nursery, plan_all(nursery, day(on))) if line.item == item)

    def part(self, item: str = "rootstocks", lot: str = "A") -> OrderPart:
        return next(part for part in self.line(item).parts if part.lot == lot)

    def count(self, lot: str = "A") -> int:
        found = self.records.lot(lot)
        assert found is not None
        return found.count


@pytest.mark.parametrize(
    ("count", "short", "told"), [(60, 0, "60 came"), (52, 8, "52 came, 8 short"), (66, -6, "66 came, 6 over")]
)
def test_what_came_is_bought_in_and_the_batch_goes_on_with_it(count: int, short: int, told: str):
    shed = Shed(ORDERED)
    shed.comes(item="rootstocks", count=count, source="Vale Nursery")
    part = shed.part()
    assert (part.state, part.count, part.came, part.short, part.said_came) == ("arrived", 60, count, short, told)
    assert shed.count() == count
    stock = shed.records.stock
    assert [(h.lot, h.form, h.count) for h in stock.holdings] == [("A", "rootstock", count)]
    assert stock.flows == {("Pomum fictum", "Russet"): (count, 0)}  # what did not come was not lost: it never was there
    [moved] = stock.movements
    assert (moved.source, moved.count, moved.told) == ("bought", count, "Vale Nursery")
    [origin] = inspection(shed.records, 2026).origins
    assert origin.told == "bought, Vale Nursery"


def test_the_entry_says_how_many_of_how_many_came():
    shed = Shed(ORDERED)
    assert said(shed.comes(item="rootstocks", count=52, source="Vale Nursery")) == (
        "A: arrive done, 52 of 60 ordered, from Vale Nursery (1 Dec)"
    )


def test_all_that_were_ordered_came_where_no_count_is_given():
    shed = Shed(ORDERED)
    assert said(shed.comes(item="Rootstocks")) == "A: arrive done, 60 (1 Dec)"


def test_a_delivery_in_two_parts_adds_up_and_is_short_of_the_whole():
    shed = Shed(ORDERED)
    shed.comes(item="rootstocks", left=20)
    assert [(p.lot, p.state, p.count, p.came) for p in shed.line().parts if p.lot != "B"] == [
        ("A", "ordered", 20, 0), ("A/1", "arrived", 40, 40),
    ]  # fmt: skip
    shed.comes(item="rootstocks", on="2026-12-04", count=17)
    assert (shed.part().count, shed.part().came, shed.part().short) == (60, 57, 3)
    assert shed.records.stock.flows == {("Pomum fictum", "Russet"): (57, 0)}


def test_the_arrival_recorded_as_any_step_is_bought_in_too():
    shed = Shed(ORDERED, entry("2026-12-01", "done", "arrive", batch="A", count=52))
    assert shed.records.stock.flows == {("Pomum fictum", "Russet"): (52, 0)}
    assert (shed.part().count, shed.part().short) == (60, 8)
    assert (shed.line().came, shed.line().short) == (52, 8)


def test_scions_collected_before_bring_no_rootstocks_in_and_move_none():
    scions = entry("2026-12-24", "done", "collect scions", batch="A", count=60)
    assert Shed(ORDERED, scions).records.stock.holdings == ()
    shed = Shed(ORDERED)
    shed.comes(item="rootstocks")
    before = shed.records.stock.holdings
    shed.entries.append(scions)
    assert shed.records.stock.holdings == before


def test_scions_that_were_bought_come_by_their_own_step():
    shed = Shed()
    made = shed.comes(item="scions", on="2026-12-24", source="a neighbour")
    assert (made.kind, made.data["step"], made.data["count"]) == ("done", "collect scions", 60)
    assert [part.lot for part in shed.line("scions").parts] == ["B"]


def test_pots_that_came_are_no_longer_to_order_but_for_what_is_short():
    shed = Shed()
    wanted = shed.part("pots").count
    assert shed.line("pots").to_order == wanted + shed.part("pots", "B").count
    made = shed.comes(item="pots", count=wanted - 10, source="the depot")
    assert said(made) == f"A: {wanted - 10} pots came to pot up, from the depot (1 Dec)"
    part = shed.part("pots")
    assert (part.state, part.to_order, part.said_came) == ("to order", 10, f"{wanted - 10} came")
    assert shed.line("pots").to_order == 10 + shed.part("pots", "B").count
    shed.comes(item="pots")
    assert (shed.part("pots").state, shed.part("pots").came, shed.part("pots").to_order) == ("arrived", wanted, 0)
    assert shed.records.stock.holdings == ()  # pots are no plants
    assert shed.records.strays == ()


def test_an_arrival_is_undone_as_any_other_entry():
    shed = Shed(ORDERED)
    before = shed.records
    for item in ("pots", "rootstocks"):
        made = shed.comes(item=item, count=12)
        shed.entries.append(Entry(f"{made.id}u", made.at, made.on, "undo", {"of": made.id}))
        assert shed.records == before


@pytest.mark.parametrize(
    ("how", "reason"),
    [
        ({}, "A waits for scions and rootstocks and pots"),
        ({"item": "seed"}, "A waits for no seed"),
        ({"item": "rootstocks", "count": 0}, "1 or more"),
        ({"item": "rootstocks", "count": -3}, "1 or more"),
        ({"item": "rootstocks", "left": 60}, "cannot still be to come"),
        ({"item": "pots", "left": -1}, "1 or more"),
        ({"item": "rootstocks", "lot": "C"}, 'no batch is called "C"'),
    ],
)
def test_what_cannot_have_come_is_refused(how: dict[str, object], reason: str):
    shed = Shed(ORDERED)
    with pytest.raises(Refused, match=reason):
        shed.comes(**how)  # type: ignore[arg-type]


def test_what_came_already_and_what_comes_tomorrow_are_refused():
    shed = Shed(ORDERED)
    shed.comes(item="rootstocks", count=52)
    with pytest.raises(Refused, match="came already: 52 came, 8 short"):
        shed.comes(item="rootstocks")
    nursery = open_nursery(HOME, shed.records)
    with pytest.raises(Refused, match="still to come"):
        came(Day(nursery, plan_all(nursery, TODAY), TODAY), "B", day("2026-12-02"), item="rootstocks")


def test_where_a_protocol_has_no_step_for_the_arrival_it_is_told_all_the_same():
    home = farm(GRAFT.replace('"arrive"', '"wash"'), grafts("A", 60))
    for entries in ((), (ORDERED,)):
        nursery = open_nursery(home, apply(home, entries))
        action = came(Day(nursery, plan_all(nursery, TODAY), TODAY), "A", TODAY, item="rootstocks", count=52)
        made = Entry("shed-1", f"{TODAY}T12:00:00+00:00", TODAY, action.kind, action.data)
        told = open_nursery(home, apply(home, (*entries, made)))
        line = next(x for x in order_lines(told, plan_all(told, TODAY)) if x.item == "rootstocks")
        assert (line.state, line.count, line.came, line.short) == ("arrived", 60, 52, 8)
