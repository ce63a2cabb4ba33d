"""`widger calendar` against RFC 5545 (Desruisseaux 2009), read back by a parser that did not write it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import vobject

from tests.tui.conftest import Call

ON = date(2027, 4, 6)
KEPT: dict[str, str] = {}


@pytest.fixture(scope="module")
def read() -> Callable[[str], dict[str, Any]]:
    @cache
    def by_uid(text: str) -> dict[str, Any]:
        calendar = vobject.readOne(text)
        return {event.uid.value: event for event in calendar.vevent_list}

    return by_uid


def printed(call: Call, farm: Path, on: date = ON, *words: str) -> str:
    status, out, err = call("calendar", farm, "--on", on.isoformat(), *words)
    assert (status, err) == (0, "")
    return str(out)


@pytest.fixture
def usual(call: Call, demo_of: Callable[[date], Path]) -> str:
    """The calendar of the demo in spring: printed once for all who only read it."""
    if "printed" not in KEPT:
        KEPT["printed"] = printed(call, demo_of(ON))
    return KEPT["printed"]


def test_it_is_a_stream_as_the_rfc_asks(usual: str):
    """RFC 5545, 3.1 (lines of at most 75 octets, each ended by CRLF), 3.6 (VERSION and PRODID once each)."""
    out = usual
    assert out.endswith("END:VCALENDAR\r\n")
    lines = out.split("\r\n")
    assert "\n" not in "".join(lines)
    assert max(len(line.encode()) for line in lines) <= 75
    assert [sum(line.startswith(name) for line in lines) for name in ("VERSION:2.0", "PRODID:")] == [1, 1]


def test_days_are_whole_and_end_on_the_next(usual: str, read: Callable[..., Any]):
    """RFC 5545, 3.6.1: the end of a whole day is not counted, and lies later than its start."""
    events = read(usual)
    assert len(events) > 40
    for event in events.values():
        assert type(event.dtstart.value) is date
        assert event.dtend.value == event.dtstart.value + timedelta(1)
        assert event.dtstart.value >= ON
        assert event.dtstamp.value.tzinfo is not None


def test_what_closes_warns_three_days_before(usual: str, read: Callable[..., Any]):
    events = read(usual)
    closing = [event for event in events.values() if event.summary.value.startswith("last day: ")]
    assert closing
    assert {event.valarm.trigger.value for event in closing} == {timedelta(-3)}
    assert not any(hasattr(event, "valarm") for event in events.values() if event not in closing)


def test_parcels_and_what_a_planting_asks_for_once_are_in_it(usual: str, read: Callable[..., Any]):
    titles = {event.summary.value for event in read(usual).values()}
    assert any(title.startswith("last day: send the May market by 7 May") for title in titles)
    assert any(title.startswith("repot: standing ground") for title in titles)


def test_a_task_keeps_its_uid_as_its_day_moves(call: Call, demo: Callable[[date], Path], read: Callable[..., Any]):
    farm = demo(ON)
    before = read(printed(call, farm))
    (uid,) = (uid for uid, event in before.items() if event.summary.value.startswith("sow: sweet chestnut C26"))
    assert call("later", farm, "C26", "sow", "2027-04-14", "--on", "2027-04-06")[0] == 0
    after = read(printed(call, farm))
    assert after[uid].dtstart.value == date(2027, 4, 14) != before[uid].dtstart.value
    assert int(after[uid].sequence.value) > int(before[uid].sequence.value)
    assert call("done", farm, "C26", "sow", "--count", "121", "--on", "2027-04-06")[0] == 0
    assert uid not in read(printed(call, farm))


def test_with_json_it_is_the_same_file(
    call: Call, demo_of: Callable[[date], Path], usual: str, read: Callable[..., Any]
):
    assert set(read(printed(call, demo_of(ON), ON, "--json"))) == set(read(usual))


def test_what_a_grower_writes_cannot_break_the_file(call: Call, tiny: Path, read: Callable[..., Any]):
    """RFC 5545, 3.3.11: commas, semicolons and line breaks are escaped."""
    text = tiny.read_text(encoding="utf-8").replace('id = "Z1"', 'id = "Z;1,a"')
    tiny.write_text(text, encoding="utf-8")
    events = read(printed(call, tiny, date(2027, 1, 18)))
    assert any("Z;1,a" in event.summary.value for event in events.values())
