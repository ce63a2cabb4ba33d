"""Looks and standing work recur as the recurrence rules of RFC 5545 have it, by python-dateutil, which is not ours."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from dateutil.rrule import DAILY, WEEKLY, rrule
from hypothesis import given
from hypothesis import strategies as st

from engine.protocols.model import Days, Step
from engine.protocols.roles import Role
from engine.schedule.looks import every_days, look_days

DAYS = st.dates(date(2024, 1, 1), date(2030, 12, 31))


def noon(day: date) -> datetime:
    return datetime.combine(day, time(12))


@given(DAYS, st.integers(1, 90), st.integers(0, 200), DAYS, st.integers(-20, 400))
def test_every_so_many_days_from_an_anchor(anchor: date, every: int, later: int, first: date, span: int):
    start, last = anchor + timedelta(later), first + timedelta(span)
    rule = rrule(DAILY, interval=every, dtstart=noon(anchor), until=noon(date(2034, 1, 1)))
    theirs = [moment.date() for moment in rule.between(noon(max(start, first)), noon(last), inc=True)]
    assert every_days(anchor, every, start, first, last) == theirs


@given(DAYS, st.integers(1, 150), st.integers(0, 300), st.integers(0, 60))
def test_twice_a_week_from_the_least_time_in_the_cold(start: date, least: int, ahead: int, span: int):
    cold = Step("stratify cold", role=Role.STRATIFY_COLD, lasts=Days(least, least + 30))
    over = start + timedelta(least)
    first = start + timedelta(ahead)
    last = first + timedelta(span)
    days = [over.weekday(), (over + timedelta(3)).weekday()]
    rule = rrule(WEEKLY, dtstart=noon(over), byweekday=days, until=noon(last))
    theirs = [moment.date() for moment in rule.between(noon(first), noon(last), inc=True)]
    ours = look_days(cold, Days(least, least + 30), start, first, last)
    assert [day for day in ours if day >= over] == theirs
