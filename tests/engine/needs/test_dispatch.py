"""Orders to the door: what is picked for whom, and when it may travel; dormant at both ends where it is bare-root."""

from __future__ import annotations

from datetime import timedelta

import pytest

from engine.acts.action import Refused
from engine.needs.allotment import allot
from engine.needs.dispatch import Parcel, parcels, say_sending, sendings, walking_order
from engine.needs.keeping import keeps
from engine.needs.packed_and_sent import pack, send, stand_ins, substitute
from engine.records.records import apply
from engine.schedule.plan import Day
from tests.engine.needs.homes import batch, farm, need, opened, read, stock
from tests.engine.schedule.farms import day, entry

TODAY = "2027-01-15"
HALE = 'who = "Hale"\n'


def customer(more: str, name: str = "Hale") -> str:
    return f'[[customer]]\nname = "{name}"\n{more}'


def found(*parts: str, on: str = TODAY) -> dict[str, Parcel]:
    nursery, plans = opened(farm(*parts), on)
    return {p.who: p for p in parcels(nursery, allot(Day(nursery, plans, day(on))), day(on))}


def test_lines_of_one_customer_go_in_one_parcel_from_what_is_on_hand():
    two = need("N", 30, by="2027-03-01", more=HALE), need("M", 20, by="2027-03-10", form="1 L pot", more=HALE)
    parcel = found(stock("S", 25), stock("T", 60, "1 L pot"), *two)["Hale"]
    told = [(x.need, x.count, x.short, [(p.lot, p.count, p.place) for p in x.picks]) for x in parcel.lines]
    assert told == [("N", 30, 0, [("S", 25, "bed"), ("T", 5, "bed")]), ("M", 20, 0, [("T", 20, "bed")])]
    assert (parcel.blocked, parcel.send_by) == ("", day("2027-02-28"))


def test_what_is_short_is_told_and_what_is_coming_is_not_picked():
    parcel = found(batch("B", 200), stock("S", 10), need("N", 60, by="2027-12-31", more=HALE))["Hale"]
    (line,) = parcel.lines
    assert (line.count, line.short, [p.lot for p in line.picks]) == (60, 50, ["S"])
    assert line.to_come > 0


def test_bare_root_goes_before_buds_swell_here_or_there_and_a_pot_on_any_day():
    bare, pot = (need("N", 10, by="2027-06-01", form=form, more=HALE) for form in ("bare root", "1 L pot"))
    early = customer('latitude = 45\nlongitude = 0\nlast_frost = "1 Mar"\nfirst_frost = "20 Nov"\ntravel_days = 3\n')
    own = found(stock("S", 20), bare)["Hale"]
    theirs = found(stock("S", 20), bare, early)["Hale"]
    assert own.send_by is not None
    assert theirs.send_by is not None
    assert theirs.send_by < own.send_by < day("2027-05-31")
    assert "their Arbor ficta buds swell" in theirs.why[-1]
    assert found(stock("S", 20, "1 L pot"), pot)["Hale"].send_by == day("2027-05-31")


def test_bare_root_wanted_next_winter_waits_for_leaf_drop():
    parcel = found(stock("S", 20), need("N", 10, by="2028-02-10", more=HALE))["Hale"]
    assert parcel.send_from is not None
    assert day("2027-10-01") < parcel.send_from < day("2027-12-01")
    assert parcel.send_by == day("2028-02-09")


SHED = '[[place]]\nname = "shed"\nunder_cover = true\n'
LIFTED = entry("2026-12-01", "move", batch="", lot="S", form="bare root", grade="", place="bed", count=20, to="shed")
EARLY = customer('latitude = 45\nlongitude = 0\nlast_frost = "1 Mar"\nfirst_frost = "20 Nov"\n')


@pytest.mark.parametrize("form", ["bare root", ""])
def test_what_sleeps_in_a_store_is_sent_while_it_keeps_though_buds_have_swelled_outside(form: str):
    """Common practice: lifted plants are held cold so that they can be sent and set after buds swell outside."""
    asked = 'form = "bare root"\n' if form else ""
    whenever = f'[[need]]\nid = "N"\nspecies = "Arbor ficta"\ncount = 10\n{asked}{HALE}'
    nursery, _ = opened(farm(stock("S", 20), SHED, whenever), TODAY, LIFTED)
    (held,) = nursery.records.stock.holdings
    last = keeps(nursery, held, day(TODAY))
    assert last is not None
    swelled = last - timedelta(9)
    for on in (swelled, last):
        home = farm(stock("S", 20), SHED, need("N", 10, by=last.isoformat(), form=form, more=HALE), EARLY)
        nursery, plans = opened(home, TODAY, LIFTED)
        (parcel,) = parcels(nursery, allot(Day(nursery, plans, on)), on)
        assert (parcel.blocked, parcel.send_from, parcel.send_by) == ("", None, last - timedelta(1))
        assert [p.send_by for p in sendings(nursery, on, last)] == [parcel.send_by]
        assert [a.data["count"] for a in send(nursery, (), "Hale", on)] == [10]
        nursery, plans = opened(farm(stock("S", 20), SHED, whenever, EARLY), TODAY, LIFTED)
        (parcel,) = parcels(nursery, allot(Day(nursery, plans, on)), on)
        assert (parcel.send_from, parcel.send_by) == (None, last)
        assert "in the shed keep until" in parcel.why[-1]
    outside = found(stock("S", 20), need("N", 10, by=last.isoformat(), form=form, more=HALE), on=swelled.isoformat())
    assert "drops its leaves" in outside["Hale"].blocked


def test_what_cannot_travel_in_time_is_blocked():
    parcel = found(stock("S", 20), need("N", 10, by="2027-09-10", more=HALE), on="2027-08-01")["Hale"]
    assert parcel.blocked.startswith("it can't be sent dormant in time: Arbor ficta drops its leaves ")
    with pytest.raises(Refused, match="can't be sent dormant in time"):
        send(
            opened(farm(stock("S", 20), need("N", 10, by="2027-09-10", more=HALE)), TODAY)[0],
            (),
            "Hale",
            day("2027-08-01"),
        )


@pytest.mark.parametrize(("last", "by"), [("15 Feb", "2028-02-14"), ("10 Jan", "2028-01-09")])
def test_the_last_day_on_which_plants_may_arrive(last: str, by: str):
    parcel = found(stock("S", 20), need("N", 10, by="2028-03-01", more=HALE), customer(f'last_day = "{last}"\n'))[
        "Hale"
    ]
    assert parcel.send_by == day(by)


def test_a_destination_that_a_plant_may_not_go_to_blocks_picking_with_the_reason():
    banned = customer('refuses = ["Arbor"]\nbecause = "blight quarantine"\n')
    parcel = found(stock("S", 20), need("N", 10, by="2027-03-01", more=HALE), banned)["Hale"]
    assert parcel.blocked == "Arbor ficta may not go to Hale: blight quarantine"
    assert [line.picks for line in parcel.lines] == [()]


def test_one_walks_to_a_place_once():
    parts = (
        stock("S", 5),
        stock("T", 5).replace('"bed"', '"frame"'),
        need("N", 8, by="2027-03-01", more=HALE),
        need("M", 2, by="2027-03-01", more='who = "Ro"\n'),
    )
    assert [place for place, _ in walking_order(found(*parts).values(), day(TODAY))] == ["bed", "frame"]


def test_what_may_not_travel_yet_is_not_picked():
    parcel = found(stock("S", 20), need("N", 10, by="2028-02-10", more=HALE))["Hale"]
    assert parcel.send_from is not None
    assert walking_order([parcel], day(TODAY)) == ()
    assert [place for place, _ in walking_order([parcel], parcel.send_from)] == ["bed"]


def test_a_parcel_sent_leaves_the_stock_and_meets_its_needs():
    home = farm(stock("S", 25), need("N", 20, by="2027-03-01", more=HALE))
    nursery, _ = opened(home, TODAY)
    (sale,) = send(nursery, (), "hale", day(TODAY))
    assert sale.data | {"count": 20, "need": "N", "to": "Hale", "lot": "S"} == sale.data
    after = apply(home, [entry(TODAY, sale.kind, batch="", **sale.data)]).stock
    assert [(h.lot, h.count) for h in after.holdings] == [("S", 5)]
    assert after.met == {"N": 20}
    with pytest.raises(Refused, match="there is nothing to send to"):
        send(opened(home, TODAY)[0], (), "Ro", day(TODAY))


def test_a_need_for_one_size_of_pot_is_sent_from_a_lot_of_pots():
    nursery, _ = opened(farm(stock("S", 25, "pot"), need("N", 20, by="2027-03-01", form="1 L pot", more=HALE)), TODAY)
    (sale,) = send(nursery, (), "Hale", day(TODAY))
    assert (sale.data["lot"], sale.data["form"], sale.data["count"]) == ("S", "pot", 20)


def test_what_is_packed_stays_so_until_something_of_it_goes_out_or_more_is_ready():
    parts = (stock("S", 25), need("N", 20, by="2027-03-01", more=HALE))
    nursery, _ = opened(farm(*parts), TODAY)
    (packed,) = pack(nursery, "hale", day(TODAY))
    assert (packed.kind, packed.data) == ("packed", {"need": "N", "count": 20})
    done = entry(TODAY, "packed", batch="", **packed.data)
    nursery, plans = opened(farm(*parts), TODAY, done)
    (parcel,) = parcels(nursery, allot(Day(nursery, plans, day(TODAY))), day(TODAY))
    assert parcel.packed
    with pytest.raises(Refused, match="packed already"):
        pack(nursery, "Hale", day(TODAY))
    nursery, plans = opened(farm(*parts[:1], need("N", 22, by="2027-03-01", more=HALE)), TODAY, done)
    assert not parcels(nursery, allot(Day(nursery, plans, day(TODAY))), day(TODAY))[0].packed
    (sale,) = send(nursery, (), "Hale", day(TODAY))
    assert apply(nursery.farm, [done, entry(TODAY, sale.kind, batch="", **sale.data)]).packed == {}


def test_what_is_fetched_goes_on_any_day_but_not_where_it_is_barred():
    late = (stock("S", 20), need("N", 10, by="2027-09-10", more=HALE))
    nursery = opened(farm(*late), TODAY)[0]
    assert [a.data["count"] for a in send(nursery, (), "Hale", day("2027-08-01"), fetched=True)] == [10]
    barred = opened(farm(*late, customer('refuses = ["Arbor"]\n')), TODAY)[0]
    with pytest.raises(Refused, match="may not go to Hale"):
        send(barred, (), "Hale", day("2027-08-01"), fetched=True)


def test_what_goes_to_a_planting_is_planted_out():
    design = '[[planting]]\nname = "belt"\nby = 2027-03-01\n[[planting.position]]\nspecies = "Arbor ficta"\ncount = 4\n'
    nursery, _ = opened(farm(stock("S", 20), design), TODAY)
    (out,) = send(nursery, (), "belt", day(TODAY))
    assert (out.kind, out.data["count"], out.data["need"]) == ("plant_out", 4, "belt 1")


def test_another_kind_goes_in_the_stead_of_what_is_short_with_the_customers_word():
    parts = (stock("S", 5), stock("T", 30, "1 L pot"), need("N", 20, by="2027-03-01", form="bare root", more=HALE))
    home = farm(*parts)
    nursery, plans = opened(home, TODAY)
    allotted = allot(Day(nursery, plans, day(TODAY)))
    (parcel,) = parcels(nursery, allotted, day(TODAY))
    (line,) = parcel.lines
    (other,) = stand_ins(allotted, line)
    assert (line.short, other.lot, other.free) == (15, "T", 30)
    with pytest.raises(Refused, match="customer's word"):
        substitute(nursery, (), "N", other, 15, " ", day(TODAY))
    with pytest.raises(Refused, match="31 cannot go instead"):
        substitute(nursery, (), "N", other, 31, "Ann said so", day(TODAY))
    fewer, new = substitute(nursery, (), "N", other, 15, "Ann said so", day(TODAY))
    assert (fewer.data["count"], new.data["count"], new.data["form"]) == (5, 15, "1 L pot")
    assert new.data["word"] == "Ann said so"
    told = [entry(TODAY, a.kind, batch="", **a.data) for a in (fewer, new)]
    nursery, plans = opened(home, TODAY, *told)
    (parcel,) = parcels(nursery, allot(Day(nursery, plans, day(TODAY))), day(TODAY))
    assert [(x.count, x.short) for x in parcel.lines] == [(5, 0), (15, 0)]


def test_the_week_says_until_when_a_parcel_must_go_and_why():
    early = customer('latitude = 45\nlongitude = 0\nlast_frost = "1 Mar"\nfirst_frost = "20 Nov"\ntravel_days = 3\n')
    home = farm(stock("S", 20), need("N", 10, by="2027-06-01", form="bare root", more=HALE), early)
    nursery, plans = opened(home, TODAY)
    (whole,) = parcels(nursery, allot(Day(nursery, plans, day(TODAY))), day(TODAY))
    assert whole.send_by is not None
    (told,) = sendings(nursery, day(TODAY), whole.send_by)
    assert (told.send_by, told.why) == (whole.send_by, whole.why)
    assert say_sending(told).startswith(
        f"send Hale by {told.send_by.day} {told.send_by:%b}: their Arbor ficta buds swell"
    )
    assert sendings(nursery, day(TODAY), whole.send_by.replace(month=1)) == ()


def test_what_a_customer_table_says_wrongly_is_told():
    problems = read(customer('last_day = "31 Feb"\ntravel_days = 90\n'), customer("")).problems
    told = " ".join(p.message for p in problems)
    assert "last_day" in told
    assert "travel_days" in told
    assert 'two customers called "Hale"' in told
    assert all(p.hint for p in problems)
