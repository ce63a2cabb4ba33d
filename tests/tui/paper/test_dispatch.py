"""What must be in order before the first parcel leaves, on the sheet of orders: dated, and only where a law asks.

Ohio Revised Code 927.61 (1990): nothing leaves a nursery that was not inspected, and the certificate must be in date.
"""

from __future__ import annotations

import pytest

from engine.needs.allotment import allot
from engine.needs.dispatch import parcels
from engine.schedule.plan import Day
from tests.engine.needs.homes import farm, need, opened, stock
from tests.engine.schedule.farms import NORTH, day
from tui.cells import day as say
from tui.paper.dispatch import dispatch_sheet

WHO = 'who = "Hale"\n'


def sheet(zone: str, by: str, on: str = "2027-07-15") -> tuple[str, str]:
    """The sheet in one line, and the day from which the parcel may be sent in the sheet's words."""
    home = farm(stock("S", 20), need("N", 10, by=by, more=WHO), site=NORTH.replace("Europe/Paris", zone))
    nursery, plans = opened(home, on)
    found = parcels(nursery, allot(Day(nursery, plans, day(on))), day(on))
    (parcel,) = found
    begins = say(parcel.send_from, True) if parcel.send_from else ""
    return " ".join(dispatch_sheet(home, found, day(on)).split()), begins


@pytest.mark.parametrize("zone", ["America/Chicago", "Europe/Paris", "Europe/London"])
def test_the_inspection_is_dated_before_the_first_parcel_may_leave(zone: str):
    told, begins = sheet(zone, "2028-02-10")
    assert begins
    assert f"[ ] before {begins}, when the first parcel may leave: have your stock inspected" in told
    assert "Ask your plant-health authority weeks ahead" in told


def test_a_parcel_that_may_leave_at_once_wants_it_first():
    told, _ = sheet("America/Chicago", "2027-03-01", on="2027-01-15")
    assert "[ ] before the first parcel leaves: have your stock inspected" in told


def test_nothing_is_asked_where_no_law_on_sending_is_known():
    told, begins = sheet("UTC", "2028-02-10")
    assert begins
    assert "inspected" not in told
