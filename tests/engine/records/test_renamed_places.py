"""A place gets another name, or is no more: what stands there follows, and undo brings the old one back."""

from __future__ import annotations

from datetime import date

import pytest

from engine.acts import stock as stock_acts
from engine.acts.action import Refused
from engine.acts.find_in_stock import find_holding, open_ledger
from engine.acts.settings import remove_place, remove_price, rename_place, set_place, set_price
from engine.acts.undoing import take_back
from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.reading.frozen import replace
from engine.records.records import apply
from engine.records.words import said
from engine.schedule.nursery import open_nursery
from tests.engine.needs.homes import batch, farm, stock
from tests.engine.records.desk import Desk

ON = date(2027, 3, 1)
ROW = '[[standing]]\ndo = "weed"\nplace = "bed"\nevery_days = 7\nminutes = 10\n'
PRICE = '[[price]]\nitem = "pot"\nhundred = 22\n[[price]]\nitem = "seed"\nspecies = "hazel"\nkg = 14\n'


def home(*more: str) -> Farm:
    return farm(batch("A", 100), stock("S", 40), ROW, PRICE, *more)


def places(desk: Desk) -> dict[str, int]:
    """Where the lot S stands, and how many of it."""
    return {held.place: held.count for held in desk.records.stock.of("S")}


def move(desk: Desk, count: int, to: str) -> Entry:
    ledger = open_ledger(desk.nursery.farm, desk.records, standing(desk.entries), ON, ON)
    return desk.take(stock_acts.move(ledger, find_holding(ledger, "S"), count, to))


def test_what_stands_in_a_place_follows_its_new_name_and_undo_brings_the_old_one_back():
    desk = Desk(home(), ON)
    move(desk, 15, "frame")
    before, made = desk.records, desk.take(rename_place(desk.nursery, "Bed", "walled garden", ON))
    assert said(made) == "place bed renamed walled garden (1 Mar)"
    assert places(desk) == {"walled garden": 25, "frame": 15}
    now = desk.nursery.farm
    assert [place.name for place in now.places] == ["walled garden", "frame"]
    [lot] = [lot for lot in desk.records.lots if lot.id == "A"]
    assert {now.where(lot.batch, step) for step in lot.batch.protocol.steps} == {"walled garden"}
    assert (now.place_for("bed"), now.places[0].lot_loss_per_year) == ("walled garden", 0.05)
    desk.undo()
    assert places(desk) == {"bed": 25, "frame": 15}
    assert desk.records.farm == before.farm


def test_a_place_is_renamed_again_and_back_to_what_it_was_called():
    desk = Desk(home(), ON)
    for name in ("walled garden", "kitchen garden", "bed"):
        desk.take(rename_place(desk.nursery, desk.nursery.farm.places[0].name, name, ON))
        assert desk.records.strays == ()
        assert places(desk) == {name: 40}


def test_the_name_holds_when_the_grower_writes_it_into_the_file_too():
    desk = Desk(home(), ON)
    desk.take(rename_place(desk.nursery, "frame", "glasshouse", ON))
    move(desk, 10, "glasshouse")
    renamed = home()
    places_now = tuple(replace(p, name="glasshouse") if p.name == "frame" else p for p in renamed.places)
    records = apply(replace(renamed, places=places_now), standing(desk.entries))
    assert records.strays == ()
    assert {held.place for held in records.stock.of("S")} == {"bed", "glasshouse"}
    assert records.farm is not None
    assert records.farm.place_for("frame") == "glasshouse"


def test_the_undo_of_a_name_is_refused_while_something_was_recorded_by_it():
    desk = Desk(home(), ON)
    named = desk.take(rename_place(desk.nursery, "frame", "glasshouse", ON))
    move(desk, 10, "glasshouse")
    with pytest.raises(Refused, match="glasshouse is named by what was recorded since"):
        take_back(desk.nursery, desk.entries, (named,))


def test_an_empty_place_is_removed_and_one_in_use_says_what_keeps_it():
    desk = Desk(home('[[place]]\nname = "lean-to"\n'), ON)
    desk.take(remove_place(desk.nursery, "lean-to", ON))
    assert [place.name for place in desk.nursery.farm.places] == ["bed", "frame"]
    assert said(desk.entries[-1]) == "place lean-to removed (1 Mar)"
    desk.undo()
    assert [place.name for place in desk.nursery.farm.places] == ["bed", "frame", "lean-to"]
    with pytest.raises(Refused, match=r"bed cannot be removed: S \(40 bare-root plants\) stands there") as caught:
        remove_place(desk.nursery, "bed", ON)
    assert caught.value.hint == "move it first"
    many = "".join(stock(f"S{n}", n) for n in range(2, 6))
    with pytest.raises(Refused, match=r"S3 \(3 bare-root plants\) and 2 more stand there$"):
        remove_place(Desk(home(many), ON).nursery, "bed", ON)
    move(desk, 40, "frame")
    with pytest.raises(Refused, match="bed cannot be removed: A is due there"):
        remove_place(desk.nursery, "bed", ON)


@pytest.mark.parametrize(
    ("name", "new", "told"),
    [
        ("bead", "x", 'no place is called "bead"'),
        ("bed", " ", "a place needs a name"),
        ("bed", "bed", "bed already has that name"),
        ("bed", "Frame", "frame is another place"),
    ],
)
def test_a_name_that_cannot_be_is_refused(name: str, new: str, told: str):
    with pytest.raises(Refused, match=told):
        rename_place(Desk(home(), ON).nursery, name, new, ON)


def test_no_new_place_takes_a_name_by_which_another_is_still_meant():
    desk = Desk(home(), ON)
    desk.take(rename_place(desk.nursery, "bed", "walled garden", ON))
    with pytest.raises(Refused, match='"bed" means walled garden here'):
        set_place(desk.nursery, "bed", {"under_cover": False}, ON)


def test_a_price_is_removed_and_undo_brings_it_back():
    desk = Desk(home(), ON)
    told = [said(desk.take(remove_price(desk.nursery, *of, ON))) for of in (("Pot", ""), ("seed", "hazel"))]
    assert told == ["pot: price removed (1 Mar)", "seed of Corylus avellana: price removed (1 Mar)"]
    assert desk.nursery.farm.prices == ()
    with pytest.raises(Refused, match="there is no price of pot"):
        remove_price(desk.nursery, "pot", "", ON)
    desk.undo()
    assert [price.item for price in desk.nursery.farm.prices] == ["seed"]
    desk.take(set_price(desk.nursery, "pot", "", {"each": 0.3}, ON))
    assert len(desk.nursery.farm.prices) == 2


def test_a_journal_that_goes_on_from_before_tells_the_same_as_one_read_anew():
    desk = Desk(home(), ON)
    move(desk, 10, "frame")
    nursery = desk.nursery
    desk.take(rename_place(nursery, "frame", "glasshouse", ON))
    going_on = apply(desk.home, standing(desk.entries), before=nursery.records, keep=True)
    anew = apply(desk.home, standing(desk.entries))
    assert {(h.lot, h.place, h.count) for h in going_on.stock.holdings} == {
        (h.lot, h.place, h.count) for h in anew.stock.holdings
    }
    assert open_nursery(desk.home, going_on).farm.places == open_nursery(desk.home, anew).farm.places
