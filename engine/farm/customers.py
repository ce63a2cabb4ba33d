"""Read where orders go: each customer's place, with its frost dates or the last day that plants may arrive."""

from __future__ import annotations

from datetime import date, timedelta

from engine.almanac.almanac import Site
from engine.farm.site import how_written, read_frost, read_month_day
from engine.reading.frozen import dataclass
from engine.reading.limits import LONGEST_TRAVEL
from engine.reading.table import Table


@dataclass(frozen=True, slots=True)
class Customer:
    """For whom needs are, by the name that they bear, and what their place asks.

    `site` is theirs where the file says where it lies and when it freezes; `last_day` (month, day) is the last of a
    season on which plants may arrive; `refuses` names genera and species that may not go there, `because` says why.
    """

    name: str
    travel_days: int = 1
    last_day: tuple[int, int] | None = None
    site: Site | None = None
    refuses: tuple[str, ...] = ()
    because: str = ""

    def refusal(self, latin: str) -> str:
        """Why a species may not go there; nothing where it may."""
        genus = latin.split(" ")[0]
        if not {latin.lower(), genus.lower()} & {name.lower() for name in self.refuses}:
            return ""
        return f"{latin} may not go to {self.name}" + (f": {self.because}" if self.because else "")

    def last_arrival(self, today: date) -> date | None:
        """The next of the last days on which plants may arrive there, from a day on; None where none is given."""
        if self.last_day is None:
            return None
        month, day = self.last_day
        for year in (today.year, today.year + 1):
            found = date(year, month, 1) + timedelta(day - 1)  # 29 February in a common year is 1 March
            if found >= today:
                return found
        return None


def read_customers(tables: list[Table], home: Site | None) -> tuple[Customer, ...]:
    """Every [[customer]] of a file; one that is named twice is told."""
    found: dict[str, Customer] = {}
    for table in tables:
        name = table.text("name", required=True)
        travel = table.whole("travel_days", 0, LONGEST_TRAVEL)
        written = how_written(table, "last_day")
        last_day = read_month_day(table, "last_day", written) if table.has("last_day") else None
        refuses, because = table.texts("refuses") or (), table.text("because") or ""
        site = _site(table, home)
        table.finish()
        if name is None:
            continue
        if name in found:
            table.fault("name", f'there are two customers called "{name}"', "keep one of them")
            continue
        found[name] = Customer(name, 1 if travel is None else travel, last_day, site, refuses, because)
    return tuple(found.values())


def _site(table: Table, home: Site | None) -> Site | None:
    latitude, longitude = table.number("latitude", -90, 90), table.number("longitude", -180, 180)
    last, first = read_frost(table, "last_frost"), read_frost(table, "first_frost")
    if home is None or (last is None and first is None and latitude is None):
        return None
    if last is None or first is None:
        if not (table.has("last_frost") and table.has("first_frost")):  # else they are there, and faulty
            remedy = "give both, or last_day instead"
            table.fault(None, "a customer's place needs both last_frost and first_frost", remedy)
        return None
    here = home.latitude if latitude is None else latitude
    there = home.longitude if longitude is None else longitude
    return Site(here, there, home.zone, 0.0, last, first)
