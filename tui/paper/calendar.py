"""The tasks to come as a calendar file that a telephone can follow: RFC 5545."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from hashlib import sha256

from icalendar import Alarm, Calendar
from icalendar import Event as CalendarEvent

from engine.farm.model import Farm
from engine.views.calendar import Event
from tui.out import harmless

PRODUCT = "-//Widger//nursery schedule//EN"


def calendar_file(farm: Farm, events: Iterable[Event], stamp: datetime, revision: int) -> bytes:
    """The file. `stamp` is the instant of writing, with its offset; `revision` grows with each entry of the journal.

    Each task keeps its UID as its days move, so that a calendar that follows the file moves it too.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", harmless(farm.name) or "Widger")
    place = f"{farm.name} {farm.site.latitude} {farm.site.longitude}"
    home = f"{sha256(place.encode()).hexdigest()[:16]}.widger.invalid"
    for event in events:
        calendar.add_component(_event(event, f"{_plain(event.key)}@{home}", stamp, revision))
    written: bytes = calendar.to_ical()
    return written


def _event(event: Event, uid: str, stamp: datetime, revision: int) -> CalendarEvent:
    told = CalendarEvent()
    told.add("uid", uid)
    told.add("dtstamp", stamp)
    told.add("sequence", revision)
    told.add("dtstart", event.day)
    told.add("dtend", event.day + timedelta(1))
    told.add("summary", harmless(event.title))
    told.add("location", harmless(event.place))
    told.add("description", harmless(event.told))
    told.add("transp", "TRANSPARENT")  # a day with cuttings to stick is not a day away
    if event.warn_days is not None:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", harmless(event.title))
        alarm.add("trigger", timedelta(-event.warn_days))
        told.add_component(alarm)
    return told


def _plain(key: str) -> str:
    """A key as a UID may bear it: what is not a letter or a digit is written as its number."""
    return "".join(c if c.isascii() and c.isalnum() else f"-{ord(c):x}-" if c != " " else "_" for c in key)
