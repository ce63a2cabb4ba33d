"""A need may name a form and a grade: what it takes, what it waits for; culls are promised to nobody."""

from __future__ import annotations

import pytest

from engine.acts.action import Refused
from engine.acts.find_in_stock import find_holding, open_ledger
from engine.acts.needs import NeedChange, amend_need, new_need
from engine.acts.stock import sell
from engine.farm.model import Farm
from engine.farm.stock import Need
from engine.needs.allotment import allot
from engine.needs.coverage import coverage, ways_for
from engine.needs.dispatch import parcels
from engine.needs.need_lines import NeedLine
from engine.needs.packed_and_sent import send
from engine.needs.promising import offer
from engine.needs.season_plan import season
from engine.records.records import apply
from engine.records.words import said
from engine.schedule.plan import Day
from tests.engine.needs.homes import batch, farm, need, opened, read, stock
from tests.engine.schedule.farms import day, entry

TODAY = "2027-12-20"
BY = "2028-02-20"
SORTED = tuple(
    stock(lot, count, more=f'grade = "{grade}"\n') for lot, count, grade in (("C", 20, "culls"), ("S", 15, "second"))
)
FIRST = stock("F", 30, more='grade = "first"\n')
ALL = (*SORTED, FIRST, stock("U", 10))


def lines(home: Farm) -> dict[str, NeedLine]:
    nursery, plans = opened(home, TODAY)
    return {line.need.id: line for line in allot(Day(nursery, plans, day(TODAY))).needs}


def asked(name: str, count: int, grade: str = "", form: str = "bare root") -> str:
    return need(name, count, BY, form=form, more=f'grade = "{grade}"\n' if grade else "")


def test_culls_are_promised_to_nobody_and_a_need_without_a_grade_takes_any_other():
    """55 stand that can be sold, first, second and not sorted; 20 culls beside them."""
    line = lines(farm(*ALL, asked("N", 100, form="")))["N"]
    assert dict(line.taken) == {"S": 15, "F": 30, "U": 10}
    nursery, plans = opened(farm(*ALL), TODAY)
    told = offer(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "", 1, day(TODAY), 0.9))
    assert told.promise.free == 55
    assert {share.line.lot for share in told.shares} == {"S", "F", "U"}


def test_a_need_for_a_grade_takes_what_was_sorted_so_and_leaves_the_rest():
    found = lines(farm(*ALL, asked("N", 40, "First"), asked("M", 40)))
    assert dict(found["N"].taken) == {"F": 30}
    assert dict(found["M"].taken) == {"S": 15, "U": 10}
    nursery, plans = opened(farm(*ALL), TODAY)
    first = offer(Day(nursery, plans, day(TODAY)), Need("", "Arbor ficta", "", "", 1, day(TODAY), 0.9, grade="first"))
    assert (first.promise.free, first.need.kind) == (30, "first")


def test_of_a_lot_that_stands_in_several_grades_the_right_one_is_picked_and_sent():
    more = 'who = "Hale"\n'
    home = farm(stock("L", 50), need("N", 12, BY, more=more), need("M", 5, BY, more=f'{more}grade = "second"\n'))
    grading = entry(
        TODAY, "grade", batch="", lot="L", form="bare root", grade="", place="bed",
        grades={"culls": 20, "first": 15, "second": 15},
    )  # fmt: skip
    nursery, plans = opened(home, TODAY, grading)
    (parcel,) = parcels(nursery, allot(Day(nursery, plans, day(TODAY))), day(TODAY))
    assert {(line.need, p.lot, p.grade, p.count) for line in parcel.lines for p in line.picks} == {
        ("N", "L", "first", 12), ("M", "L", "second", 5)
    }  # fmt: skip
    sales = send(nursery, (grading,), "Hale", day(TODAY))
    assert sorted((sale.data["grade"], sale.data["count"]) for sale in sales) == [("first", 12), ("second", 5)]


def test_what_comes_is_not_sorted_yet_and_does_not_count_for_a_grade():
    home = farm(batch("B", 300, "2027-02-01"), need("N", 40, "2028-12-31", more='grade = "first"\n'))
    nursery, plans = opened(home, "2027-03-01")
    (line,) = coverage(Day(nursery, plans, day("2027-03-01"))).needs
    assert (line.short, line.to_come, line.parts) == (40, 0, ())
    assert 195 < line.unsorted < 300 * 0.8 * 0.9  # less what the bed may lose before they are lifted
    ways = [way for way in ways_for(Day(nursery, plans, day("2027-03-01")), line) if not way.reason]
    assert ways
    assert all("once they are graded" in way.notes[-1] for way in ways)
    planned = season(Day(nursery, plans, day("2027-03-01")))
    assert not planned.ways
    assert "once they are graded" in planned.unmet[0].why


def test_what_a_need_does_not_ask_for_is_not_sold_for_it():
    home = farm(*ALL, asked("N", 40, "first"), asked("M", 40))
    nursery, _ = opened(home, TODAY)
    ledger = open_ledger(home, nursery.records, (), day(TODAY), day(TODAY))
    for lot, wanted, told in (("S", "N", "asks for first; these of S are second"), ("C", "M", "takes no culls")):
        with pytest.raises(Refused, match=told):
            sell(ledger, find_holding(ledger, lot), 5, need=wanted)
    assert sell(ledger, find_holding(ledger, "F"), 5, need="N").data["need"] == "N"
    assert sell(ledger, find_holding(ledger, "C"), 5).data["count"] == 5


@pytest.mark.parametrize(
    ("more", "message", "hint"),
    [
        ('grade = "fist"\n', 'grade "fist" is not known', 'did you mean "first"?'),
        ('form = "bareroot"\n', 'form "bareroot" is not known', 'did you mean "bare root"?'),
        ('grade = "Culls"\n', "culls are promised to nobody", "name a grade that is sold, or none: any that is sold"),
        ("grade = 1\n", "grade", "text"),
    ],
)
def test_a_need_that_nothing_meets_for_a_slip_is_told_with_its_line(more: str, message: str, hint: str):
    (problem,) = read(FIRST, need("N", 5, more=more)).problems
    assert message in problem.message
    assert hint in problem.hint or hint in problem.message
    text = read(FIRST, need("N", 5, more=more)).text.splitlines()[problem.line - 1]
    assert text.startswith(more.split()[0])


def test_a_need_added_or_changed_keeps_its_grade_and_slips_are_refused():
    home = farm(FIRST, need("N", 5))
    nursery, _ = opened(home, TODAY)
    today = day(TODAY)
    new = new_need(nursery, (), Need("M", "Arbor ficta", "", "bare root", 5, None, grade="first"), today)
    changed = amend_need(nursery, "N", today, NeedChange(grade="second"))
    told = [entry(TODAY, action.kind, **{"batch": "", **action.data}) for action in (new, changed)]
    after = {each.id: each.grade for each in apply(home, told).farm.needs}
    assert after == {"N": "second", "M": "first"}
    assert [said(each).split(": ")[-1] for each in told] == [
        "wanted, 5 Arbor ficta, bare root, first (20 Dec)", "now grade second (20 Dec)"
    ]  # fmt: skip
    for grade, form, why in (("frist", "", "first"), ("culls", "", "nobody"), ("", "bare rot", "bare root")):
        with pytest.raises(Refused) as refused:
            new_need(nursery, (), Need("K", "Arbor ficta", "", form, 5, None, grade=grade), today)
        assert why in f"{refused.value} {refused.value.hint}"
    with pytest.raises(Refused, match="culls"):
        amend_need(nursery, "N", today, NeedChange(grade="rejects"))
