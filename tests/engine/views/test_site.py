"""The site: the marks of a year, which of them were seen, and which acts rest on each."""

from __future__ import annotations

from engine.almanac.phrases import MarkBase, parse_phrase
from engine.journal.entry import Entry
from engine.records.records import apply
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import plan_all
from engine.views.site import SiteMark, marks_under, site_marks
from tests.engine.schedule.farms import day, farm
from tests.engine.views.test_year import SITE

STEPS = """
[[protocol.step]]
do = "stick"
opens = ["soil workable"]
closes = ["bud swell + 3 weeks"]
[[protocol.step]]
do = "set out"
opens = ["last frost (10%)"]
closes = ["longest day"]
wait_days = 20
[[protocol.step]]
do = "lift"
opens = ["leaf drop"]
closes = ["31 Dec"]
wait_days = 100
"""


def home(*entries: Entry) -> Nursery:
    farm_ = farm(STEPS, "2027-01-01", site=SITE)
    return open_nursery(farm_, apply(farm_, entries))


def marks(today: str, *entries: Entry, year: int = 2027) -> dict[tuple[str, float | None], SiteMark]:
    nursery = home(*entries)
    found = site_marks(nursery, plan_all(nursery, day(today)), year)
    return {(each.mark.name, each.mark.chance): each for each in found}


def steps(found: SiteMark) -> list[str]:
    return [act.step for act in found.resting]


def saw(mark: str, on: str) -> Entry:
    return Entry(f"{on} saw", f"{on}T08:00:00+00:00", day(on), "saw", {"mark": mark})


def test_an_act_rests_on_the_marks_of_its_window_and_on_what_those_rest_on():
    found = marks("2027-01-10")
    assert steps(found["soil workable", None]) == ["stick"]
    assert steps(found["bud swell", None]) == ["stick"]
    assert steps(found["last frost", 0.5]) == ["stick"]
    assert steps(found["last frost", 0.1]) == ["set out"]
    assert steps(found["longest day", None]) == ["set out"]
    assert steps(found["leaf drop", None]) == ["lift"]
    assert steps(found["first frost", 0.5]) == ["lift"]
    assert steps(found["softwood firm", None]) == []


def test_what_is_done_rests_on_nothing_and_another_years_mark_bears_none_of_this_years_acts():
    done = Entry(
        "1", "2027-03-25T08:00:00+00:00", day("2027-03-25"), "done", {"batch": "B", "step": "stick", "count": 9}
    )
    assert steps(marks("2027-03-26", done)["soil workable", None]) == []
    assert steps(marks("2027-01-10", year=2029)["soil workable", None]) == []


def test_a_mark_that_was_seen_says_so_on_its_day_and_not_in_another_year():
    before, after = marks("2027-03-20"), marks("2027-03-20", saw("bud swell", "2027-03-20"))
    assert not before["bud swell", None].seen
    assert (after["bud swell", None].seen, after["bud swell", None].mark.day) == (True, day("2027-03-20"))
    assert not marks("2027-03-20", saw("bud swell", "2027-03-20"), year=2028)["bud swell", None].seen


def test_what_can_be_seen_is_out_of_doors_and_not_the_suns_or_an_end_of_another_mark():
    found = marks("2027-01-10")
    assert {name for (name, _), each in found.items() if each.can_be_seen} == {
        "last frost", "first frost", "soil workable", "bud swell", "bark slips (spring)", "softwood firm",
        "bark slips (summer)", "leaf drop", "soil cold", "deep dormancy", "ground freeze", "soil warm", "first fruit",
    }  # fmt: skip
    assert not found["last frost", 0.1].can_be_seen


def test_every_mark_named_by_a_phrase_is_under_it():
    almanac = home().almanac
    for name in almanac.mark_names():
        base = parse_phrase(name).base
        assert isinstance(base, MarkBase)
        assert (base.name, base.chance) in marks_under(almanac, [parse_phrase(name)])
    assert ("first frost", None) in marks_under(almanac, [parse_phrase("deep dormancy + 1 week")])
    assert marks_under(almanac, [parse_phrase("15 Mar"), parse_phrase("day length rises to 12 h")]) == frozenset()
