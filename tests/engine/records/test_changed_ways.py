"""What has not started goes another way: its method, its route, and the places where it stands."""

from __future__ import annotations

from datetime import date

import pytest

from engine.acts.action import Action, Refused
from engine.acts.batches import BatchChange, NewBatch, change_batch, new_batch, places_of
from engine.farm.protocols import meant_method
from engine.records.words import said
from engine.schedule.plan import plan_lot
from tests.engine.records.desk import Desk
from tests.engine.records.test_batch_entries import TODAY
from tests.engine.schedule.farms import COLD_THEN_SOW, farm, lot_of

ROUTES = """
[[place]]
name = "cold store"
[[place]]
name = "sand bed"
under_cover = true
[[place]]
name = "beds"
serves = ["seed beds", "nursery beds"]
"""


def hazels(*more: Action) -> Desk:
    """A desk with 300 hazels to be sown in autumn, and a farm with places of its own."""
    desk = Desk(farm(COLD_THEN_SOW + ROUTES, start="2026-12-01"), TODAY)
    wanted = NewBatch("H27", "hazel", "seed", 300, start=date(2027, 8, 1), route="autumn sown under mesh")
    desk.take(new_batch(desk.nursery, wanted, TODAY))
    for action in more:
        desk.take(action)
    return desk


def test_another_route_replans_it_and_what_was_told_of_steps_that_fall_away_goes():
    desk = hazels()
    before = lot_of(desk.records, "H27").batch.protocol
    fallen = next(step.do for step in before.steps if step.do not in {"collect", "clean"})
    desk.take(Action("hold", TODAY, {"batch": "H27", "step": fallen, "reason": "no mesh"}))
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(route="held cold, sown in spring")))
    lot = lot_of(desk.records, "H27")
    assert desk.entries[-1].data == {"batch": "H27", "method": "seed", "route": "held cold, sown in spring"}
    assert said(desk.entries[-1]) == "H27: now by seed, held cold, sown in spring (20 Nov)"
    assert "stratify cold" in [step.do for step in lot.batch.protocol.steps]
    assert set(lot.held) <= {step.do for step in lot.batch.protocol.steps}
    assert plan_lot(desk.nursery, lot, TODAY).chain.protocol is lot.batch.protocol
    desk.undo()
    assert lot_of(desk.records, "H27").batch.protocol is before
    assert lot_of(desk.records, "H27").held == {fallen: "no mesh"}


def test_another_method_asks_for_its_route_and_one_that_the_library_lacks_is_asked_about():
    desk = hazels()
    with pytest.raises(Refused, match="neither the library nor your file has T-bud"):
        change_batch(desk.nursery, "H27", TODAY, BatchChange(method="T-bud"))
    assert change_batch(desk.nursery, "H27", TODAY, BatchChange(method="T-bud", general=True)).data["method"] == "T-bud"
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(method="mound layer")))
    assert lot_of(desk.records, "H27").batch.method == "mound layer"
    with pytest.raises(Refused, match="several routes"):
        change_batch(desk.nursery, "H27", TODAY, BatchChange(method="seed"))
    with pytest.raises(Refused, match='route "held" could be several'):
        change_batch(desk.nursery, "H27", TODAY, BatchChange(method="seed", route="held"))
    with pytest.raises(Refused, match="mound layer takes no rootstock"):
        change_batch(desk.nursery, "H27", TODAY, BatchChange(rootstock="Quince A"))


def test_a_batch_stands_elsewhere_in_every_step_that_named_the_place():
    desk = hazels()
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(route="held cold, sown in spring")))
    assert "cold store" in places_of(desk.nursery.farm, lot_of(desk.records, "H27").batch)
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(places=[("cold store", "sand bed")])))
    assert desk.entries[-1].data == {"batch": "H27", "places": {"cold store": "sand bed"}}
    assert said(desk.entries[-1]) == "H27: now at sand bed instead of cold store (20 Nov)"
    lot = lot_of(desk.records, "H27")
    places = {step.do: desk.nursery.farm.where(lot.batch, step) for step in lot.batch.protocol.steps}
    assert places["stratify cold"] == "sand bed"
    assert "cold store" not in places.values()
    for step in ("collect", "clean", "soak", "stratify cold"):  # and what is done is booked there
        if step in places:
            desk.take(Action("done", TODAY, {"batch": "H27", "step": step, "count": 300}))
    assert desk.records.stock.current["H27"][3] == "sand bed"


def test_places_go_back_to_those_of_the_protocol_and_a_place_that_is_none_is_refused():
    desk = hazels()
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(route="held cold, sown in spring")))
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(places=[("cold store", "sand bed")])))
    with pytest.raises(Refused, match='H27 never stands in "mist bench"'):
        change_batch(desk.nursery, "H27", TODAY, BatchChange(places=[("mist bench", "sand bed")]))
    with pytest.raises(Refused) as caught:
        change_batch(desk.nursery, "H27", TODAY, BatchChange(places=[("beds", "sandbed")]))
    assert (str(caught.value), caught.value.hint) == ('no place is called "sandbed"', 'did you mean "sand bed"?')
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(places=())))
    assert lot_of(desk.records, "H27").batch.places == ()


def test_a_batch_that_is_added_after_one_that_stands_elsewhere_stands_where_its_protocol_says():
    desk = hazels(Action("change", TODAY, {"batch": "B", "places": {"": "sand bed"}}))
    desk.take(change_batch(desk.nursery, "H27", TODAY, BatchChange(places=[("beds", "sand bed")])))
    wanted = NewBatch("H28", "hazel", "seed", 10, start=date(2028, 8, 1), route="autumn sown under mesh")
    desk.take(new_batch(desk.nursery, wanted, TODAY))
    assert "sand bed" not in places_of(desk.nursery.farm, lot_of(desk.records, "H28").batch)


def test_the_cultivar_of_a_graft_is_settled_when_its_scions_are_cut_and_not_by_its_rootstocks():
    desk = hazels()
    wanted = NewBatch("A27", "apple", "bench graft", 60, start=date(2026, 11, 1))
    desk.take(new_batch(desk.nursery, wanted, TODAY))
    desk.take(Action("done", TODAY, {"batch": "A27", "step": "order", "count": 60}))
    desk.take(change_batch(desk.nursery, "A27", TODAY, BatchChange(cultivar="Sturmer Pippin")))
    assert lot_of(desk.records, "A27").batch.cultivar == "Sturmer Pippin"
    with pytest.raises(Refused, match="it has started: order was done"):
        change_batch(desk.nursery, "A27", TODAY, BatchChange(count=80))
    desk.take(Action("done", TODAY, {"batch": "A27", "step": "collect scions", "count": 60}))
    with pytest.raises(Refused, match="it has started"):
        change_batch(desk.nursery, "A27", TODAY, BatchChange(cultivar="Egremont Russet"))
    assert lot_of(desk.records, "A27").batch.cultivar == "Sturmer Pippin"


@pytest.mark.parametrize(
    ("told", "meant"),
    [
        ("hardwood cuttings", "hardwood cutting"), ("Hardwood", "hardwood cutting"), ("softwood", "softwood cutting"),
        ("bench grafts", "bench graft"), ("seeds", "seed"), ("mound", "mound layer"), ("graft", "graft"),
        ("", ""), ("harwood", "harwood"),
    ],
)  # fmt: skip
def test_a_method_is_meant_in_the_plural_and_by_how_it_begins(told: str, meant: str):
    assert meant_method(farm(COLD_THEN_SOW, start="2026-12-01"), "Ribes nigrum", told) == meant
