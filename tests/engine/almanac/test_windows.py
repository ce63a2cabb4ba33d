"""Windows: when they open and close, across the New Year, in both hemispheres, and what makes no sense."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from engine.almanac.almanac import Almanac, NeverComes, Site
from engine.almanac.frost import FrostDates, FrostPoint
from engine.almanac.phrases import parse_phrase
from engine.almanac.windows import Span, Spans, Window
from engine.reading.limits import LONGEST_WINDOW, WIDEST_OPENING
from tests.sampled import examples


def frost(last: bool, middle: date, spread: int = 14) -> FrostDates:
    days = (middle - timedelta(days=spread), middle, middle + timedelta(days=spread))
    chances = (0.9, 0.5, 0.1) if last else (0.1, 0.5, 0.9)
    return FrostDates(last, tuple(FrostPoint(c, d.month, d.day) for c, d in zip(chances, days, strict=True)))


def site(latitude: float, last: date, first: date, zone: str = "America/Chicago", longitude: float = -93.0) -> Site:
    return Site(latitude, longitude, zone, 0.0, frost(True, last), frost(False, first))


NORTH = Almanac(site(45.0, date(2025, 5, 8), date(2025, 10, 3)))
SOUTH = Almanac(site(-43.0, date(2025, 10, 20), date(2025, 5, 1), "Pacific/Auckland", 172.6))


def window(opens: tuple[str, ...] = (), closes: tuple[str, ...] = ()) -> Window:
    return Window(tuple(map(parse_phrase, opens)), tuple(map(parse_phrase, closes)))


def spans(opens: tuple[str, ...] = (), closes: tuple[str, ...] = (), almanac: Almanac = NORTH) -> Spans:
    return Spans(almanac, window(opens, closes))


def first(found: Spans, day: date) -> tuple[date, date]:
    span = found.from_day(day.toordinal())
    return date.fromordinal(span.opens), date.fromordinal(span.closes)


def run(found: Spans, day: date, count: int) -> list[Span]:
    """So many spans on end, from the first that closes on or after the day."""
    one = found.from_day(day.toordinal())
    row = [one]
    while len(row) < count:
        one = found.from_day(one.closes + 1)
        row.append(one)
    return row


def test_a_window_opens_at_the_last_of_its_openings_and_closes_at_the_first_of_its_closings():
    found = spans(("soil workable", "20 Apr"), ("longest day", "1 June"))
    assert first(found, date(2027, 1, 1)) == (date(2027, 4, 20), date(2027, 6, 1))
    span = found.from_day(date(2027, 1, 1).toordinal())
    assert span.opener is not None
    assert span.closer is not None
    assert (span.opener.text, span.closer.text) == ("20 Apr", "1 June")


def test_a_window_may_straddle_the_new_year():
    found = spans(("15 Nov",), ("10 Feb",))
    assert first(found, date(2027, 1, 5)) == (date(2026, 11, 15), date(2027, 2, 10))
    assert first(found, date(2027, 2, 11)) == (date(2027, 11, 15), date(2028, 2, 10))
    assert found.rise(date(2027, 1, 5).toordinal()) == date(2027, 1, 5).toordinal()
    assert found.rise(date(2027, 6, 1).toordinal()) == date(2027, 11, 15).toordinal()
    assert found.fall(date(2027, 6, 1).toordinal()) == date(2027, 2, 10).toordinal()


def test_openings_are_taken_at_their_occurrence_nearest_the_first_across_the_new_year():
    found = spans(("20 Dec", "5 Jan"), ("1 Mar",))
    assert first(found, date(2027, 6, 1)) == (date(2028, 1, 5), date(2028, 3, 1))
    turned = spans(("5 Jan", "20 Dec"), ("1 Mar",))
    assert first(turned, date(2027, 6, 1)) == (date(2028, 1, 5), date(2028, 3, 1))


def test_29_february_opens_on_the_28th_of_a_common_year():
    found = spans(("29 Feb",), ("31 Mar",))
    assert first(found, date(2027, 1, 1))[0] == date(2027, 2, 28)
    assert first(found, date(2028, 1, 1))[0] == date(2028, 2, 29)


def test_without_a_closing_a_window_closes_the_day_before_it_next_opens():
    row = run(spans(("leaf drop",)), date(2025, 12, 1), 6)
    for one, following in pairwise(row):
        assert one.closes == following.opens - 1
        assert one.closer is None


def test_without_an_opening_a_window_opens_the_day_after_it_last_closed():
    row = run(spans((), ("bud swell", "1 May")), date(2025, 12, 1), 6)
    for one, following in pairwise(row):
        assert following.opens == one.closes + 1
        assert one.opener is None
    assert date.fromordinal(row[0].closes) == date(2026, 4, 10)


def test_a_window_with_neither_is_always_open():
    assert window().always
    assert not window(("leaf drop",)).always


def test_a_closing_that_never_comes_is_passed_over_and_an_opening_makes_it_impossible():
    mild = Almanac(site(47.4, date(2025, 3, 8), date(2025, 11, 21), "America/Los_Angeles", -122.3))
    lifted = spans(("leaf drop",), ("ground freeze", "bud swell - 1 week"), mild)
    span = lifted.from_day(date(2027, 9, 1).toordinal())
    assert span.closer is not None
    assert span.closer.text == "bud swell - 1 week"
    with pytest.raises(NeverComes, match=r'"ground freeze" never comes here: .*under 170 days'):
        spans(("ground freeze",), ("1 Feb",), mild).from_day(date(2027, 1, 1).toordinal())
    alone = run(spans(("leaf drop",), ("ground freeze",), mild), date(2027, 1, 1), 3)
    assert alone[0].closes == alone[1].opens - 1


def test_a_window_that_closes_before_it_opens_is_told_with_its_dates():
    found = spans(("last frost (10%) + 4 days",), ("15 May",))
    with pytest.raises(NeverComes) as told:
        found.from_day(date(2027, 5, 1).toordinal())
    message = str(told.value)
    assert message.startswith("it closes before it opens: last frost (10%) + 4 days is 2")
    assert "closed since 15 May" in message
    assert "days until 15 May" in message


def test_openings_far_apart_are_told_with_both_dates():
    found = spans(("15 Feb", "20 Jul"), ("1 Sep",))
    with pytest.raises(NeverComes, match=r"15 Feb is 15 Feb \d\d and 20 Jul 20 Jul \d\d, 15[56] days apart"):
        found.from_day(date(2027, 1, 1).toordinal())


@pytest.mark.parametrize(("days", "fits"), [(300, True), (301, False)])
def test_the_longest_window_is_300_days(days, fits):
    opens = date(2027, 1, 10)
    closes = opens + timedelta(days=days)
    found = spans((f"{opens.day} Jan",), (f"{closes:%-d %b}",))
    if fits:
        assert first(found, opens) == (opens, closes)
    else:  # the leap years, a day longer, are no better
        with pytest.raises(NeverComes, match="closes before it opens"):
            found.from_day(opens.toordinal())


@pytest.mark.parametrize(("days", "fits"), [(150, True), (151, False)])
def test_openings_may_lie_150_days_apart(days, fits):
    lead = date(2027, 3, 10)
    second = lead + timedelta(days=days)
    found = spans(("10 Mar", f"{second:%-d %b}"), ("31 Dec",))
    if fits:
        assert first(found, lead) == (second, date(2027, 12, 31))
    else:
        with pytest.raises(NeverComes, match="151 days apart"):
            found.from_day(lead.toordinal())


def test_a_window_may_be_open_for_one_day():
    found = spans(("20 Apr",), ("20 Apr",))
    assert first(found, date(2027, 1, 1)) == (date(2027, 4, 20), date(2027, 4, 20))
    assert found.rise(date(2027, 4, 20).toordinal()) == date(2027, 4, 20).toordinal()
    assert found.rise(date(2027, 4, 21).toordinal()) == date(2028, 4, 20).toordinal()


def test_a_span_before_is_the_one_a_season_earlier():
    found = spans(("leaf drop",), ("bud swell",))
    span = found.from_day(date(2027, 10, 15).toordinal())
    earlier = found.before(span)
    assert earlier is not None
    assert 355 < span.opens - earlier.opens < 375
    assert found.until_day(span.opens - 1) == earlier


MARKS = (
    "last frost", "first frost", "soil workable", "bud swell", "softwood firm", "leaf drop", "soil cold",
    "deep dormancy", "bark slips (summer)", "longest day", "spring equinox", "day length rises to 12 h",
    "day length falls to 13 h",
)  # fmt: skip
PHRASES = st.builds(
    lambda mark, weeks: mark + (f" {'+' if weeks > 0 else '-'} {abs(weeks)} weeks" if weeks else ""),
    st.sampled_from(MARKS),
    st.integers(-8, 8),
)
WINDOWS = st.tuples(st.lists(PHRASES, max_size=2), st.lists(PHRASES, max_size=2)).filter(lambda w: bool(w[0] or w[1]))
DAYS = st.integers(date(2020, 1, 1).toordinal(), date(2040, 12, 31).toordinal())


@given(WINDOWS, DAYS, st.booleans())
def test_rise_and_fall_give_the_nearest_days_that_lie_in_a_span(parts, day, south):
    found = spans(tuple(parts[0]), tuple(parts[1]), SOUTH if south else NORTH)
    try:
        span, earlier = found.from_day(day), found.until_day(day)
    except NeverComes:
        return
    assert span.closes >= day
    assert earlier.opens <= day
    rise, fall = found.rise(day), found.fall(day)
    assert fall <= day <= rise
    assert (fall == day) == (rise == day)
    assert span.opens <= rise <= span.closes
    assert earlier.opens <= fall <= earlier.closes
    if parts[0] and parts[1] and span.closer is not None:
        assert span.closes - span.opens <= LONGEST_WINDOW
    before = found.before(span)
    assert before is None or before.opens < span.opens


@given(st.lists(PHRASES, min_size=1, max_size=2), st.booleans(), st.booleans())
def test_a_window_of_one_kind_of_phrase_tiles_the_years(phrases, opening, south):
    almanac = SOUTH if south else NORTH
    lead, *others = (almanac.occurrence(parse_phrase(p), 2027) for p in phrases)
    apart = [(other - lead + 182) % 365 - 182 for other in others if other is not None and lead is not None]
    # Closings half a year apart have no nearest one; openings so far apart are a fault, near the limit in some years.
    limit = WIDEST_OPENING - 10
    assume(all(abs(days) <= limit or (opening and abs(days) > WIDEST_OPENING + 10) for days in apart))
    found = spans(*((tuple(phrases), ()) if opening else ((), tuple(phrases))), almanac)
    try:
        row = run(found, date(2026, 3, 1), 5)
    except NeverComes:
        assert opening, "only openings far apart make no sense"
        assert found.faults
        return
    for one, following in pairwise(row):
        assert following.opens == one.closes + 1
        assert 355 < one.closes - one.opens + 1 < 376


@st.composite
def climates(draw: st.DrawFn) -> tuple[float, date, date]:
    latitude = draw(st.sampled_from([38.0, 42.0, 46.0, 50.0]))
    last = date(2025, 3, 20) + timedelta(days=draw(st.integers(0, 70)))
    return latitude, last, date(2025, 9, 15) + timedelta(days=draw(st.integers(0, 60)))


def away(almanac: Almanac, text: str, day: int) -> int:
    """Days from the day to the occurrence of a phrase nearest to it; 0 where it never comes."""
    phrase = parse_phrase(text)
    season = almanac.nearest(phrase, day)
    found = None if season is None else almanac.occurrence(phrase, season)
    return 0 if found is None else found - day


@examples(60)
@given(climates(), WINDOWS)
def test_the_other_hemisphere_has_the_same_windows_half_a_year_later(climate, parts):
    latitude, last, first_frost = climate
    half = timedelta(days=183)
    north = Almanac(site(latitude, last, first_frost, "UTC", 0.0))
    south = Almanac(site(-latitude, last + half, first_frost + half, "UTC", 0.0))
    here, there = spans(*map(tuple, parts), north), spans(*map(tuple, parts), south)
    try:
        span = here.from_day(date(2027, 4, 1).toordinal())
    except NeverComes:
        return
    # Where a closing lies near the opening, or phrases half a year apart, a few days decide which year's is meant.
    length = span.closes - span.opens
    assume(10 < length < LONGEST_WINDOW - 12 or not (parts[0] and parts[1]))
    assume(not parts[0] or all(abs(away(north, text, span.opens)) > 12 for text in parts[1]))
    for texts in parts:
        lead = north.occurrence(parse_phrase(texts[0]), 2027) if texts else None
        assume(lead is None or all(abs(away(north, text, lead)) <= WIDEST_OPENING - 16 for text in texts))
    other = there.until_day(span.opens + 183 + 10)
    # The earth is nearer the sun in the south's summer and hurries: its seasons are up to a week shorter.
    assert abs(other.opens - span.opens - 183) <= 9
    assert abs(other.closes - span.closes - 183) <= 9
