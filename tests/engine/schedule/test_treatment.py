"""How long a treatment lasts after outages, drying and radicles; the rule for a store that stood too warm, or froze."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.protocols.model import Days, Step
from engine.protocols.roles import Role
from engine.records.records import DRY_THROUGH, FINDINGS, Outage, apply
from engine.schedule.outage import ADD, COUNT_ON, RESTART, SOW, meaning
from engine.schedule.treatment import Course, courses, is_treatment, lasting
from tests.engine.schedule.farms import entry, farm, lot_of, planned

STEPS = """
[[protocol.step]]
do = "stratify warm"
place = "warm shelf"
lasts_days = [60, 60]
[[protocol.step]]
do = "stratify cold"
place = "cold store"
lasts_days = [90, 120]
[[protocol.step]]
do = "sow"
opens = ["1 Apr"]
closes = ["12 May"]
"""
BEGUN = date(2027, 1, 1)
COLD = Step("stratify cold", role=Role.STRATIFY_COLD, lasts=Days(90, 120))
WARM = Step("stratify warm", role=Role.STRATIFY_WARM, lasts=Days(60, 60), temperature_c=(18, 22))
HISTORY = (
    entry("2026-11-01", "done", "stratify warm", count=240),
    entry("2027-01-01", "done", "stratify cold", count=240),
)
HOME = farm(STEPS, "2026-10-01")
ACORNS = '[[species]]\nlatin = "Arbor ficta"\ndrying_kills = true\n'


def happened(on: str, days: int, celsius: float, place: str = "cold store") -> Entry:
    data = {"place": place, "days": days, "temperature_c": celsius}
    return Entry(f"{on} outage {place} {days}", f"{on}T08:00:00+00:00", date.fromisoformat(on), "outage", data)


def course_after(*entries: Entry, home: Farm = HOME, step: str = "stratify cold") -> Course:
    records = apply(home, (*HISTORY, *entries))
    assert not records.strays
    return courses(home, lot_of(records), records.outages)[step]


def lasts_after(*entries: Entry, home: Farm = HOME) -> dict[str, Days]:
    records = apply(home, (*HISTORY, *entries))
    lot = lot_of(records)
    return {step: each.days for step, each in lasting(lot, courses(home, lot, records.outages)).items()}


# -- the rule


@pytest.mark.parametrize(
    ("days", "celsius", "gone", "radicles", "expected"),
    [
        # The Woody Plant Seed Manual (2008), Prunus, p. 884: 2 to 5 °C does better than below 1.7 or above 8 °C.
        pytest.param(30, 5, 10, False, COUNT_ON, id="cool"),
        pytest.param(30, 8, 10, False, COUNT_ON, id="the bound itself"),
        pytest.param(3, 12, 10, False, ADD, id="12 degrees for three days"),
        # Common practice: a day or two of mild weather does not reach the middle of the bag.
        pytest.param(2, 12, 10, False, COUNT_ON, id="short and mild"),
        pytest.param(2, 18, 10, False, ADD, id="short, not mild"),
        # The same, Prunus, p. 886: warmth before splitting or radicles brings secondary dormancy.
        pytest.param(14, 20, 40, False, RESTART, id="a warm fortnight, as Suszka's at 20 °C"),
        pytest.param(7, 20, 40, False, ADD, id="a warm week"),
        # The same, Rosa, p. 977: below the compensating temperature, cold adds up across warm spells.
        pytest.param(14, 15, 40, False, ADD, id="a mild fortnight"),
        # The same, Prunus, p. 886: of cracked stones and of those with radicles 90 and 95 % came up at 20 °C.
        pytest.param(14, 20, 40, True, SOW, id="radicles out"),
        pytest.param(3, 4, 40, True, COUNT_ON, id="radicles out, cool"),
        pytest.param(14, 20, 90, False, COUNT_ON, id="its least was over"),
        pytest.param(14, 20, 89, False, RESTART, id="a day short of its least"),
        pytest.param(4, -2, 40, False, ADD, id="frozen"),
        pytest.param(4, -2, 40, True, SOW, id="radicles frozen"),
    ],
)
def test_what_an_outage_means_for_seed_in_the_cold(days: int, celsius: float, gone: int, radicles: bool, expected: str):
    assert meaning(COLD, days, celsius, gone, 90, radicles).do == expected


def test_deep_frost_tells_to_cut_seed_open():
    """The Woody Plant Seed Manual (2008), Quercus, pp. 934-935: below -5 °C is usually fatal to acorns."""
    assert "cut a few open" in meaning(COLD, 1, -6, 10, 90, False).why
    assert "cut a few open" not in meaning(COLD, 1, -4, 10, 90, False).why


@pytest.mark.parametrize(
    ("celsius", "expected"), [(25, COUNT_ON), (18, COUNT_ON), (15, COUNT_ON), (10, ADD), (-1, ADD)]
)
def test_what_an_outage_means_for_seed_in_the_warm(celsius: float, expected: str):
    """Common practice: warm treatment is given at about 20 °C; what is cooler than 15 °C does nothing."""
    assert meaning(WARM, 5, celsius, 10, 60, False).do == expected


def test_a_step_that_is_kept_warmer_counts_as_warm_as_it_says():
    """The Woody Plant Seed Manual (2008), Prunus, p. 884: almond in its shell did best at 10 °C."""
    almond = Step("stratify cold", role=Role.STRATIFY_COLD, lasts=Days(26, 40), temperature_c=(5, 10))
    assert meaning(almond, 20, 10, 5, 26, False).do == COUNT_ON
    assert meaning(COLD, 20, 10, 5, 26, False).do == ADD


# -- how long it lasts


def test_nothing_happened():
    assert lasts_after() == {}
    assert course_after() == Course(BEGUN, Days(90, 120), Days(90, 120))


def test_warm_days_do_not_count_towards_the_least():
    """The store stood at 12 °C for three days: the least moves by three; the most stays: warmth brings sprouting on.

    Common practice: what has had most of its cold sprouts in a warm spell.
    """
    assert lasts_after(happened("2027-02-10", 3, 12)) == {"stratify cold": Days(93, 120)}


def test_frost_in_the_store_holds_seed_back_on_both_ends():
    """Frozen seed neither ripens nor sprouts (common practice)."""
    assert lasts_after(happened("2027-02-10", 4, -2)) == {"stratify cold": Days(94, 124)}
    warm_too = happened("2027-02-11", 3, 12)
    assert lasts_after(happened("2027-02-08", 4, -2), warm_too) == {"stratify cold": Days(97, 124)}


def test_the_most_is_never_less_than_the_least():
    assert lasts_after(happened("2027-03-20", 40, 12)) == {"stratify cold": Days(130, 130)}


def test_the_sowing_follows_from_the_longer_cold():
    plan = planned(HOME, "2027-02-11", *HISTORY, happened("2027-02-10", 3, 12))
    sow = plan.index("sow")
    assert sow is not None
    assert plan.now.earliest[sow] == (BEGUN + timedelta(93)).toordinal()


def test_days_told_twice_are_lost_once():
    told = (happened("2027-02-10", 3, 12), happened("2027-02-11", 3, 14))
    assert lasts_after(*told) == {"stratify cold": Days(94, 120)}


def test_days_told_within_others_are_lost_once():
    """Ten days to 19 February, and three of the same ten told by themselves."""
    told = (happened("2027-02-14", 3, 12), happened("2027-02-19", 10, 12))
    assert lasts_after(*told) == {"stratify cold": Days(100, 120)}


def test_two_outages_that_ended_on_one_day_are_taken_together():
    lot = lot_of(apply(HOME, HISTORY))
    short, long = (Outage("cold store", days, date(2027, 2, 10), 12.0) for days in (3, 5))
    assert courses(HOME, lot, (short, long))["stratify cold"].lasts == Days(95, 120)


def test_a_single_day_in_the_warm_is_a_day_lost():
    assert lasts_after(happened("2027-02-10", 1, 22)) == {"stratify cold": Days(91, 120)}


def test_warmth_loses_no_day_once_the_least_was_had():
    """90 days of cold are those to 1 April: from the 2nd on it has had them, unless some before did not count."""
    assert lasts_after(happened("2027-04-10", 9, 12)) == {}
    assert lasts_after(happened("2027-04-10", 10, 12)) == {"stratify cold": Days(100, 120)}
    three = happened("2027-02-10", 3, 12)
    assert lasts_after(three, happened("2027-04-10", 7, 12)) == {"stratify cold": Days(100, 120)}  # it had 89
    assert lasts_after(three, happened("2027-04-10", 6, 12)) == {"stratify cold": Days(93, 120)}  # it had 90


def test_only_the_days_that_the_lot_lay_there_count():
    assert lasts_after(happened("2027-01-03", 10, 12)) == {}  # two of them, mild: the bag stayed cool
    assert lasts_after(happened("2027-01-04", 10, 12)) == {"stratify cold": Days(93, 120)}
    assert lasts_after(happened("2026-12-31", 10, 12)) == {}


def test_an_outage_after_it_was_sown_is_none_of_its_business():
    sown = entry("2027-04-10", "done", "sow", count=240)
    assert lasts_after(sown, happened("2027-04-20", 5, 12)) == {}


def test_another_place_is_another_matter():
    assert lasts_after(happened("2027-02-10", 3, 12, "warm shelf")) == {}
    assert lasts_after(happened("2026-12-01", 5, 8, "warm shelf")) == {"stratify warm": Days(65, 65)}


def test_a_warm_fortnight_lets_the_cold_count_anew():
    """From 10 February, day 40: the least is 40 and 90, and days lost before it are lost with it."""
    fortnight = happened("2027-02-10", 14, 20)
    assert lasts_after(fortnight) == {"stratify cold": Days(130, 160)}
    assert lasts_after(happened("2027-01-10", 4, 12), fortnight) == {"stratify cold": Days(130, 160)}
    assert lasts_after(fortnight, happened("2027-03-10", 4, 12)) == {"stratify cold": Days(134, 160)}


def test_what_dried_through_counts_anew_from_that_day():
    dried = entry("2027-02-10", "look", "stratify cold", finding=DRY_THROUGH)
    assert lasts_after(dried) == {"stratify cold": Days(130, 160)}
    assert any("count starts again" in line for line in course_after(dried).told)
    assert lasts_after(entry("2027-02-10", "look", "stratify cold", finding="dry")) == {}


def test_what_dries_through_is_lost_where_drying_kills():
    """The Woody Plant Seed Manual (2008), Quercus, p. 934: acorns die below 15 to 30 % of moisture."""
    from tests.engine.schedule import farms

    home = farm(STEPS, "2026-10-01", site=farms.NORTH + ACORNS)
    dried = entry("2027-02-10", "look", "stratify cold", finding=DRY_THROUGH)
    assert lot_of(apply(home, (*HISTORY, dried))).given_up == date(2027, 2, 10)
    at_the_surface = entry("2027-02-10", "look", "stratify cold", finding="dry")
    assert lot_of(apply(home, (*HISTORY, at_the_surface))).given_up is None
    sown = entry("2027-02-05", "done", "sow", count=240)
    assert lot_of(apply(home, (*HISTORY, sown, dried))).given_up is None


def test_radicles_end_it_whatever_was_lost():
    seen = entry("2027-02-20", "look", "stratify cold", finding="radicles")
    assert lasts_after(happened("2027-02-10", 14, 20), seen) == {"stratify cold": Days(50, 57)}


def test_radicles_on_the_day_it_went_in_are_due_within_a_week():
    seen = entry("2027-01-01", "look", "stratify cold", finding="radicles")
    assert lasts_after(seen) == {"stratify cold": Days(0, 7)}


def test_radicles_that_dried_through_do_not_make_the_sowing_due():
    seen = entry("2027-02-20", "look", "stratify cold", finding="radicles")
    dried = entry("2027-02-24", "look", "stratify cold", finding=DRY_THROUGH)
    again = entry("2027-03-20", "look", "stratify cold", finding="radicles")
    assert lasts_after(seen, dried) == {"stratify cold": Days(144, 174)}
    assert lasts_after(seen, dried, again) == {"stratify cold": Days(78, 85)}


def test_radicles_seen_as_the_outage_ends_are_to_be_sown():
    seen = entry("2027-02-10", "look", "stratify cold", finding="radicles")
    assert [m.do for _, m in course_after(happened("2027-02-10", 14, 20), seen).outages] == [SOW]


def test_what_stood_warm_and_dried_out_on_one_day_is_told_of_both_and_counts_from_then():
    dried = entry("2027-02-10", "look", "stratify cold", finding=DRY_THROUGH)
    course = course_after(happened("2027-02-10", 3, 12), dried)
    assert [m.do for _, m in course.outages] == [ADD]
    assert course.lasts == Days(130, 160)


def test_radicles_that_came_after_an_outage_do_not_change_what_it_meant_then():
    fortnight = happened("2027-02-10", 14, 20)
    after = course_after(fortnight, entry("2027-02-20", "look", "stratify cold", finding="radicles"))
    before = course_after(fortnight, entry("2027-02-05", "look", "stratify cold", finding="radicles"))
    assert [m.do for _, m in after.outages] == [RESTART]
    assert [m.do for _, m in before.outages] == [SOW]


def test_the_course_tells_what_happened_and_what_it_makes_of_the_least():
    told = course_after(happened("2027-02-10", 3, 12)).told
    assert told == (
        "3 days at 12 °C to 10 Feb: add the days; too warm to count: these days are added to the minimum",
        "minimum is now day 93, not 90",
    )


def test_what_changes_nothing_is_told_without_a_new_least():
    assert [line.split(":")[1] for line in course_after(happened("2027-02-10", 2, 12)).told] == [
        " keep counting; short and mild"
    ]


def test_what_lasts_is_a_treatment_only_where_it_ripens_seed():
    assert is_treatment(COLD)
    assert not is_treatment(Step("callus", lasts=Days(14, 21)))
    assert not is_treatment(replace(COLD, lasts=Days(0, 0)))


def test_an_outage_that_cannot_be_read_is_told_and_changes_nothing():
    for data in ({"days": 0}, {"days": "three"}, {"temperature_c": "warm"}, {"days": True}, {"temperature_c": 400}):
        broken = happened("2027-02-10", 3, 12)
        broken = Entry(broken.id, broken.at, broken.on, "outage", {**broken.data, **data})
        records = apply(HOME, (*HISTORY, broken))
        assert records.outages == ()
        assert len(records.strays) == 1


OUTAGES = st.lists(
    st.builds(
        Outage,
        st.sampled_from(["cold store", "warm shelf"]),
        st.integers(1, 40),
        st.integers(-70, 200).map(lambda n: BEGUN + timedelta(n)),
        st.floats(-30, 45),
    ),
    max_size=6,
)
LOOKS = st.lists(st.tuples(st.integers(0, 150), st.sampled_from(FINDINGS)), max_size=5)


@given(OUTAGES, LOOKS)
def test_no_outage_shortens_the_least(outages: list[Outage], looks: list[tuple[int, str]]):
    """Neither against the protocol nor against the same lot with one outage less."""
    found = sorted(looks)
    entries = [entry(str(BEGUN + timedelta(n)), "look", "stratify cold", finding=f) for n, f in found]
    lot = lot_of(apply(HOME, (*HISTORY, *entries)))
    whole = courses(HOME, lot, outages)
    for step, course in whole.items():
        assert course.lasts.least >= course.planned.least
        assert all(means.do in (COUNT_ON, ADD, RESTART, SOW) for _, means in course.outages)
        assert course.lasts.most is not None
        assert course.planned.most is not None
        anew = any(means.do == RESTART for _, means in course.outages) or course.dried is not None
        cold = step == "stratify cold" and all(o.temperature_c > 0 for o, _ in course.outages)
        if cold and not anew:  # warmth alone puts the most off only as far as the least
            assert course.lasts.most == max(course.planned.most, course.lasts.least)
        for n in range(len(outages)):
            fewer = courses(HOME, lot, outages[:n] + outages[n + 1 :])[step]
            assert fewer.lasts.least <= course.lasts.least
    without = lasting(lot, courses(HOME, lot, ()))
    for step, each in lasting(lot, whole).items():
        assert each.days.least >= (without[step].days.least if step in without else 0)
