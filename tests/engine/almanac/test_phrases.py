"""The grammar of dates said in words."""

from calendar import monthrange

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.almanac.marks import DEFAULTS, unknown_marks
from engine.almanac.phrases import (
    FROST_MARKS,
    MONTHS,
    SUN_MARKS,
    CalendarBase,
    DayLengthBase,
    DegreeDaysBase,
    MarkBase,
    MeanBase,
    PhraseFault,
    parse_phrase,
)
from engine.reading.limits import LONGEST_OFFSET


@pytest.mark.parametrize(
    ("text", "base", "offset"),
    [
        ("last frost", MarkBase("last frost"), 0),
        ("last frost - 8 weeks", MarkBase("last frost"), -56),
        ("last frost (10%)", MarkBase("last frost", 0.1), 0),
        ("first frost ( 2.5 % ) + 1 day", MarkBase("first frost", 0.025), 1),
        ("Bud  Swell + 3 WEEKS", MarkBase("bud swell"), 21),
        ("bark slips (summer) ends - 10 days", MarkBase("bark slips (summer) ends"), -10),
        ("longest day + 2 weeks", MarkBase("longest day"), 14),
        ("day length rises to 10 h", DayLengthBase(True, 600), 0),
        ("day length falls to 13 h 30 m", DayLengthBase(False, 810), 0),
        ("day length falls to 9h30m + 1 week", DayLengthBase(False, 570), 7),
        ("day length falls to 9 h 30 min", DayLengthBase(False, 570), 0),
        ("mean rises to 10 C", MeanBase(True, 10.0), 0),
        ("Mean falls to -2 °C - 4 weeks", MeanBase(False, -2.0), -28),
        ("mean rises to 50F", MeanBase(True, 10.0), 0),
        ("degree days above 5 C reach 75", DegreeDaysBase(5.0, 75.0), 0),
        ("degree days above 41 F reach 135 + 1 week", DegreeDaysBase(5.0, 75.0), 7),
        ("coldest day - 4 weeks", MarkBase("coldest day"), -28),
        ("15 Mar", CalendarBase(3, 15), 0),
        ("1 september - 1 day", CalendarBase(9, 1), -1),
        ("29 Feb", CalendarBase(2, 29), 0),
        ("3 sept.", CalendarBase(9, 3), 0),
        ("leaf drop − 2 weeks", MarkBase("leaf drop"), -14),  # a typographer's minus
        ("leaf drop – 2 weeks", MarkBase("leaf drop"), -14),  # and a dash
        ("leaf drop+2weeks", MarkBase("leaf drop"), 14),
    ],
)
def test_a_phrase_is_a_base_and_an_offset_in_days(text, base, offset):
    phrase = parse_phrase(text)
    assert (phrase.base, phrase.offset) == (base, offset)
    assert phrase.text == " ".join(text.split())


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("", "an empty phrase", "last frost - 8 weeks"),
        ("   ", "an empty phrase", "last frost - 8 weeks"),
        ("last frost - 8 wks", "is not a phrase", '"+ 3 weeks" or "- 10 days"'),
        ("last frost - eight weeks", "is not a phrase", '"+ 3 weeks" or "- 10 days"'),
        ("last frost 8 weeks", "is not a phrase", '"+ 3 weeks" or "- 10 days"'),
        ("last frost - 8 weeks - 1 day", "is not a phrase", '"+ 3 weeks" or "- 10 days"'),
        ("- 3 weeks", "is not a phrase", '"+ 3 weeks" or "- 10 days"'),
        ("Mar 15", "is not a date", 'write "15 Mar"'),
        ("last frost - 600 weeks", "an offset of 4200 days", "at most a year"),
        ("last frost (0%)", "no date has a chance of 0%", "0.1% to 99.9%"),
        ("last frost (100%)", "no date has a chance of 100%", "0.1% to 99.9%"),
        ("bud swell (10%)", "only last frost and first frost have a chance", '"bud swell"'),
        ("day length 14 h", "is not a day length", "day length rises to 10 h"),
        ("day length falls to 14", "is not a day length", "day length falls to 13 h 30 m"),
        ("day length falls to 25 h", "a day has 24 hours", "up to 24"),
        ("day length falls to 13 h 75 m", "a day has 24 hours", "up to 59"),
        ("mean rises to 10", "is not a phrase", "mean rises to 10 C"),
        ("mean goes to 10 C", "is not a phrase", "mean falls to 5 C"),
        ("mean falls to 90 C", "no mean of a day is 90 C", "from -60 to 60"),
        ("degree days reach 75", "is not a phrase", "degree days above 5 C reach 75"),
        ("degree days above 5 C reach 0", "no season reaches 0", "about 75"),
        ("31 Feb", "February has no day 31", "its last day is 29"),
        ("31 Apr", "April has no day 31", "its last day is 30"),
        ("0 May", "May has no day 0", "its last day is 31"),
        ("15 Marhc", 'no month "marhc"', "did you mean March?"),
        ("15 ma", 'no month "ma"', ""),
    ],
)
def test_what_cannot_be_read_says_what_was_found_and_the_remedy(text, message, hint):
    with pytest.raises(PhraseFault) as told:
        parse_phrase(text)
    assert message in str(told.value)
    assert hint in told.value.hint


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("last forst - 8 weeks", 'did you mean "last frost"?'),
        ("leaf drops", 'did you mean "leaf drop"?'),
        ("longest days", 'did you mean "longest day"?'),
        ("xyzzy", "`widger dates` lists the marks"),
    ],
)
def test_a_mark_that_nobody_has_defined_is_told_with_the_nearest_spelling(text, hint):
    fault = unknown_marks(parse_phrase(text), DEFAULTS)
    assert fault is not None
    assert "no mark is called" in str(fault)
    assert fault.hint == hint


@pytest.mark.parametrize("text", ["last frost (10%)", "longest day", "soil cold", "15 Mar", "day length rises to 9 h"])
def test_what_is_defined_is_no_fault(text):
    assert unknown_marks(parse_phrase(text), DEFAULTS) is None


NAMES = st.sampled_from([*FROST_MARKS, *SUN_MARKS, *DEFAULTS])
SPACE = st.sampled_from([" ", "  ", "\t"])


@st.composite
def bases(draw: st.DrawFn) -> tuple[str, MarkBase | DayLengthBase | CalendarBase]:
    kind = draw(st.sampled_from(["mark", "chance", "light", "date"]))
    if kind == "mark":
        name = draw(NAMES)
        return name, MarkBase(name)
    if kind == "chance":
        name, percent = draw(st.sampled_from(FROST_MARKS)), draw(st.integers(1, 99))
        return f"{name} ({percent}%)", MarkBase(name, percent / 100)
    if kind == "light":
        rising, hours, minutes = draw(st.booleans()), draw(st.integers(0, 23)), draw(st.integers(0, 59))
        way, rest = "rises" if rising else "falls", f" {minutes} m" if minutes else ""
        return f"day length {way} to {hours} h{rest}", DayLengthBase(rising, hours * 60 + minutes)
    month = draw(st.integers(1, 12))
    day = draw(st.integers(1, monthrange(2024, month)[1]))
    return f"{day} {MONTHS[month - 1]}", CalendarBase(month, day)


@given(bases(), st.integers(-52, 52), st.sampled_from(["day", "days", "week", "weeks"]), SPACE, st.booleans())
def test_a_phrase_built_of_its_parts_is_read_as_those_parts(base, count, unit, space, shout):
    text, wanted = base
    if count:
        text = f"{text}{space}{'+' if count > 0 else '-'}{space}{abs(count)} {unit}"
    phrase = parse_phrase(text.upper() if shout else text)
    assert phrase.base == wanted
    assert phrase.offset == count * (7 if unit.startswith("week") else 1)


WORDS = st.sampled_from(
    ["last", "frost", "(", "10", "%", ")", "+", "-", "3", "weeks", "day", "length", "h", "15", "mar"]
)


@given(st.text(max_size=40) | st.lists(WORDS).map(" ".join))
def test_any_text_is_a_phrase_or_a_fault_in_words(text):
    try:
        phrase = parse_phrase(text)
    except PhraseFault as fault:
        told = str(fault)
    else:
        told = phrase.text
        assert abs(phrase.offset) <= LONGEST_OFFSET
        assert phrase.text == " ".join(text.split())
    assert told
