"""The marks of the season: what each rests on, what a farm or a species changes, and what was seen."""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from engine.almanac.almanac import Almanac, Sighting, Site
from engine.almanac.frost import FrostDates, FrostPoint
from engine.almanac.marks import DEFAULTS, Definitions, circle, name_fault, read_definition, too_deep
from engine.almanac.phrases import PhraseFault, parse_phrase
from engine.almanac.why_this_date import reason, why_never
from engine.reading.limits import LONGEST_CHAIN


def frosts(last: dict[str, str], first: dict[str, str]) -> tuple[FrostDates, FrostDates]:
    def points(table: dict[str, str]) -> tuple[FrostPoint, ...]:
        return tuple(FrostPoint(float(c) / 100, *map(int, d.split("-"))) for c, d in table.items())

    return FrostDates(True, points(last)), FrostDates(False, points(first))


COLD = Site(  # frost-free 148 days; frost rules its spring
    45.0, -93.0, "America/Chicago", 300.0,
    *frosts({"90": "04-24", "50": "05-08", "10": "05-22"}, {"10": "09-19", "50": "10-03", "90": "10-17"}),
)  # fmt: skip
MILD = Site(  # frost-free 258 days; light rules its spring. NOAA 1981-2010 normals, Seattle-Tacoma: 50 and 90 %
    47.44, -122.31, "America/Los_Angeles", 112.8,
    *frosts({"90": "02-12", "50": "03-08"}, {"50": "11-21", "90": "12-11"}),
)  # fmt: skip
GROUND = ("ground freeze", "open winter")
"""What never comes to the mild place, and to the cold one."""
FROST_FREE = Site(-0.2, -78.5, "America/Guayaquil", 2850.0)


def on(almanac: Almanac, text: str, year: int = 2027) -> date | None:
    found = almanac.occurrence(parse_phrase(text), year)
    return None if found is None else date.fromordinal(found)


def later(day: date | None, weeks: float) -> date:
    assert day is not None
    return day + timedelta(days=round(weeks * 7))


@pytest.mark.parametrize("site", [COLD, MILD], ids=["cold", "mild"])
def test_every_default_mark_rests_on_what_the_table_says(site):
    # the defaults are common practice and memory, not from a source
    almanac = Almanac(site)
    last, first = on(almanac, "last frost"), on(almanac, "first frost")
    eleven = on(almanac, "day length rises to 11 h")
    thirteen, half_past_nine = on(almanac, "day length falls to 13 h"), on(almanac, "day length falls to 9 h 30 m")
    longest = on(almanac, "longest day")
    swell = max(later(last, -4), eleven)
    drop = min(later(first, 3), later(half_past_nine, 1))
    assert on(almanac, "soil workable") == max(later(last, -5), eleven)
    assert on(almanac, "bud swell") == swell
    assert on(almanac, "bark slips (spring)") == later(swell, 3)
    assert on(almanac, "bark slips (spring) ends") == later(swell, 8)
    assert on(almanac, "softwood firm") == later(swell, 8)
    assert on(almanac, "softwood firm ends") == later(longest, 2)
    assert on(almanac, "bark slips (summer)") == later(longest, 4)
    assert on(almanac, "bark slips (summer) ends") == min(thirteen, later(first, -4))
    assert on(almanac, "leaf drop") == drop
    assert on(almanac, "soil cold") == later(first, 4)
    assert on(almanac, "deep dormancy") == later(drop, 6)
    assert on(almanac, "deep dormancy ends") == later(swell, -1)
    assert on(almanac, "soil warm") == on(almanac, "last frost (10%)")
    assert on(almanac, "first fruit") == longest


@pytest.mark.parametrize("site", [COLD, MILD], ids=["cold", "mild"])
def test_every_mark_comes_here_but_frozen_ground_or_an_open_winter_and_ends_within_five_months(site: Site):
    """Ground freezes where winters are hard, and is open all winter where they are not: never both, never neither."""
    almanac = Almanac(site)
    never = {name for name in DEFAULTS if on(almanac, name) is None}
    assert never == {f"{mark}{end}" for mark in [GROUND[site is COLD]] for end in ("", " ends")}
    for name in DEFAULTS:
        if f"{name} ends" in DEFAULTS and name not in never:
            begun = on(almanac, name).toordinal()
            ended = almanac.first_from(parse_phrase(f"{name} ends"), begun)
            assert 0 < ended - begun < 150, name


def test_frost_rules_spring_at_the_cold_site_and_light_at_the_mild_one():
    cold, mild = Almanac(COLD), Almanac(MILD)
    assert reason(cold, "bud swell", 2027) == "last frost - 4 weeks"
    assert reason(mild, "bud swell", 2027) == "day length rises to 11 h"
    assert on(cold, "bud swell") == date(2027, 4, 10)
    assert on(mild, "bud swell") == on(mild, "day length rises to 11 h")


def test_ground_freezes_only_where_the_frost_free_season_is_under_170_days():
    assert on(Almanac(COLD), "ground freeze") == later(date(2027, 10, 3), 8)
    assert on(Almanac(MILD), "ground freeze") is None
    assert "under 170 days" in why_never(Almanac(MILD), parse_phrase("ground freeze"))
    for days, comes in ((169, True), (170, False)):
        first = date(2027, 5, 8) + timedelta(days=days)
        last_frost, first_frost = frosts({"50": "05-08"}, {"50": f"{first.month}-{first.day}"})
        edge = Almanac(Site(45.0, -93.0, "America/Chicago", 0.0, last_frost, first_frost))
        assert (on(edge, "ground freeze") is not None) == comes, days


def test_beds_stay_open_all_winter_where_the_ground_never_freezes():
    mild = Almanac(MILD)
    assert on(mild, "open winter") == on(mild, "leaf drop")
    assert on(mild, "open winter ends") == on(mild, "soil workable")
    assert on(Almanac(COLD), "open winter") is None
    told = why_never(Almanac(COLD), parse_phrase("open winter"))
    assert told == "it comes only where ground freeze never does"


def layer(**marks: object) -> Definitions:
    return {name.replace("_", " "): read_definition(value) for name, value in marks.items()}


def with_marks(site: Site, marks: Definitions) -> Site:
    return Site(site.latitude, site.longitude, site.zone, site.elevation_m, site.last_frost, site.first_frost, marks)


def test_a_farm_sets_a_mark_for_itself_and_what_rests_on_it_follows():
    plain = Almanac(COLD)
    own = Almanac(with_marks(COLD, layer(bud_swell="1 Apr", first_cut="bud swell + 2 weeks")))
    assert on(own, "bud swell") == date(2027, 4, 1)
    assert on(own, "softwood firm") == date(2027, 4, 1) + timedelta(weeks=8)
    assert on(own, "first cut") == date(2027, 4, 15)
    assert on(own, "soil workable") == on(plain, "soil workable")
    assert "first cut" in own.mark_names()
    assert "first cut" not in plain.mark_names()


def test_a_farms_mark_may_refine_the_default_of_the_same_name():
    own = Almanac(with_marks(COLD, layer(bud_swell="bud swell - 10 days")))
    assert on(own, "bud swell") == on(Almanac(COLD), "bud swell") - timedelta(days=10)


def test_currants_swell_three_weeks_before_the_site_and_everything_on_it_follows():
    site = Almanac(COLD)
    currant = site.for_species(layer(bud_swell="bud swell - 3 weeks"))
    three = timedelta(weeks=3)
    for mark in ("bud swell", "bark slips (spring)", "bark slips (spring) ends", "softwood firm", "deep dormancy ends"):
        assert on(currant, mark) == on(site, mark) - three, mark
    for mark in ("softwood firm ends", "leaf drop", "soil workable", "last frost"):
        assert on(currant, mark) == on(site, mark), mark
    assert site.for_species({}) is site


def test_a_species_shifts_the_farms_mark_not_the_default():
    own = Almanac(with_marks(COLD, layer(bud_swell="1 Apr"))).for_species(layer(bud_swell="bud swell - 3 weeks"))
    assert on(own, "bud swell") == date(2027, 3, 11)


def test_a_mark_seen_replaces_the_computed_one_for_that_season_only():
    seen = Almanac(COLD, [Sighting("bud swell", date(2027, 3, 28))])
    plain = Almanac(COLD)
    assert on(seen, "bud swell") == date(2027, 3, 28)
    assert on(seen, "softwood firm") == date(2027, 3, 28) + timedelta(weeks=8)
    assert on(seen, "bark slips (spring)") == date(2027, 3, 28) + timedelta(weeks=3)
    for year in (2026, 2028):
        assert on(seen, "bud swell", year) == on(plain, "bud swell", year)
        assert on(seen, "softwood firm", year) == on(plain, "softwood firm", year)
    assert on(seen, "soil workable") == on(plain, "soil workable")
    assert reason(seen, "bud swell", 2027) == "seen 28 Mar"
    assert "bud swell seen 28 Mar" in reason(seen, "softwood firm", 2027)


def test_of_two_records_of_one_season_the_later_written_holds():
    seen = Almanac(COLD, [Sighting("leaf drop", date(2027, 10, 30)), Sighting("leaf drop", date(2027, 10, 20))])
    assert on(seen, "leaf drop") == date(2027, 10, 20)


def test_a_mark_seen_after_the_new_year_belongs_to_the_season_it_is_nearest_to():
    seen = Almanac(MILD, [Sighting("deep dormancy", date(2028, 1, 5))])
    assert on(seen, "deep dormancy", 2027) == date(2028, 1, 5)
    assert on(seen, "deep dormancy", 2028) == on(Almanac(MILD), "deep dormancy", 2028)


def test_a_species_counts_from_what_was_seen_at_the_site():
    seen = Almanac(COLD, [Sighting("bud swell", date(2027, 3, 28))]).for_species(layer(bud_swell="bud swell - 3 weeks"))
    assert on(seen, "bud swell") == date(2027, 3, 7)
    assert on(seen, "softwood firm") == date(2027, 3, 7) + timedelta(weeks=8)


def test_a_last_frost_seen_moves_what_rests_on_it():
    seen = Almanac(COLD, [Sighting("last frost", date(2027, 5, 20))])
    assert on(seen, "last frost") == date(2027, 5, 20)
    assert on(seen, "soil workable") == date(2027, 5, 20) - timedelta(weeks=5)


@pytest.mark.parametrize(
    ("marks", "name", "path"),
    [
        (layer(a="b + 1 week", b="a - 1 week"), "a", ("a", "b", "a")),
        (layer(a="a + 1 week"), "a", ("a", "a")),
        (layer(bud_swell="softwood firm - 8 weeks"), "bud swell", ("bud swell", "softwood firm", "bud swell")),
        (layer(a={"latest": ["15 Mar", "b"]}, b="c", c="a"), "c", ("c", "a", "b", "c")),
    ],
)
def test_marks_that_rest_on_themselves_are_told_and_never_come(marks, name, path):
    assert circle((DEFAULTS, marks), name) == path
    almanac = Almanac(with_marks(COLD, marks))
    assert why_never(almanac, parse_phrase(path[0]))  # in words, and without an end
    if "15 Mar" not in str(marks):
        assert on(almanac, name) is None


def test_a_mark_that_refines_the_one_below_is_no_circle():
    assert circle((DEFAULTS, layer(bud_swell="bud swell - 3 weeks")), "bud swell") is None
    assert circle((DEFAULTS, layer(bud_swell="1 Apr"), layer(bud_swell="bud swell - 3 weeks")), "bud swell") is None
    assert all(circle((DEFAULTS,), name) is None for name in DEFAULTS)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("day length rises to 14 h", "the day never lengthens to 14 h 00 at latitude -0.2"),
        ("day length falls to 10 h", "the day never shortens to 10 h 00"),
        ("last frost", "the site has no last frost (frost-free)"),
        ("first frost (10%)", "the site has no first frost (frost-free)"),
        ("softwood firm", "no last frost (frost-free); the day never lengthens to 11 h 00"),
        ("soil cold", "the site has no first frost (frost-free)"),
        ("ground freeze", "no first frost"),
    ],
)
def test_at_the_equator_without_frost_a_mark_that_never_comes_says_why(text, why):
    almanac = Almanac(FROST_FREE)
    assert on(almanac, text) is None
    assert why in why_never(almanac, parse_phrase(text))
    assert almanac.nearest(parse_phrase(text), date(2027, 6, 1).toordinal()) is None


def test_the_sun_and_the_calendar_still_come_at_the_equator():
    almanac = Almanac(FROST_FREE)
    assert on(almanac, "15 Mar + 1 week") == date(2027, 3, 22)
    assert on(almanac, "longest day") == date(2027, 12, 21)  # a hair south of it
    assert on(almanac, "softwood firm ends") == date(2028, 1, 4)


def test_where_there_is_no_frost_light_alone_rules():
    almanac = Almanac(Site(44.0, -8.0, "Europe/Madrid"))
    assert on(almanac, "bud swell") == on(almanac, "day length rises to 11 h")
    assert on(almanac, "leaf drop") == later(on(almanac, "day length falls to 9 h 30 m"), 1)
    assert on(almanac, "bark slips (summer) ends") == on(almanac, "day length falls to 13 h")


def test_one_frost_date_alone_offers_no_other_chance_and_says_so():
    last, first = frosts({"50": "05-08"}, {"50": "10-03"})
    almanac = Almanac(Site(45.0, -93.0, "America/Chicago", 0.0, last, first))
    assert on(almanac, "last frost") == date(2027, 5, 8)
    assert on(almanac, "last frost (50%)") == date(2027, 5, 8)
    assert on(almanac, "last frost (10%)") is None
    assert "one last frost date only" in why_never(almanac, parse_phrase("last frost (10%)"))


@pytest.mark.parametrize(
    "value",
    [3, [], ["15 Mar"], {}, {"latest": []}, {"latest": "15 Mar"}, {"latest": ["15 Mar"], "earliest": ["16 Mar"]},
         {"latest": [3]}, {"latest": ["15 Mar"], "soonest": 1},
         {"earliest": ["15 Mar"], "where_frost_free_days_under": "x"}],
)  # fmt: skip
def test_what_is_no_definition_of_a_mark_is_told_with_an_example(value):
    with pytest.raises(PhraseFault, match="the latest or earliest of several") as told:
        read_definition(value)
    assert "earliest = [" in told.value.hint


@pytest.mark.parametrize(
    "name",
    [
        "mar 15", "15 mar", "31 feb", "x 3 days", "a - b", "x + 1 week", "x (25%)", "last frost (0%)", "day length",
        "day length falls to 14 h", "degree days", "1", "week 3", "", "x" * 2001, "bell\x07",
    ],
)  # fmt: skip
def test_a_mark_cannot_have_a_name_that_a_phrase_would_read_otherwise(name):
    assert name_fault(name)


@pytest.mark.parametrize("name", [*DEFAULTS, "rooks nest", "leaf-fall", "mast year (beech)"])
def test_a_name_in_words_is_good(name):
    assert name_fault(name) is None
    assert parse_phrase(f"{name} - 2 weeks").text == f"{name} - 2 weeks"


def test_marks_rest_on_one_another_as_far_as_anyone_can_follow():
    names = [f"m {chr(97 + n // 26)}{chr(97 + n % 26)}" for n in range(400)]
    chain = {names[0]: read_definition("leaf drop")}
    chain |= {name: read_definition(f"{before} + 1 day") for before, name in pairwise(names)}
    assert too_deep(chain) == tuple(names[LONGEST_CHAIN + 1 :])
    chain[names[0]] = read_definition(names[-1])
    assert set(too_deep(chain)) == set(names)
    assert too_deep(DEFAULTS) == ()
