"""Two hundred sites, and how each protocol of the library fares at one: the published frost rows, and their mirrors.

Of a hundred places with published frost dates (of a few from memory: see the tables) each has its mirror image on the
other half of the globe, as far from the equator, half a year on: the tables have few southern places of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from engine.almanac.almanac import Almanac, NeverComes, Site
from engine.almanac.normal_year import Temperature
from engine.schedule.chain import Chain, make_chain, never_opens
from engine.schedule.placing import place
from engine.schedule.start_and_ready import Wish
from tests.engine.library.built import Built, frost
from tests.reference.tables import rows

ABOUT = date(2027, 1, 1).toordinal()
A_YEAR_LATE = 300
"""Days beyond the usual length of a chain that are a slip to another year."""


def every_site() -> Iterator[tuple[str, Site]]:
    """The sites by name, with their temperatures."""
    for row in (*rows("practice_sites"), *rows("more_sites")):
        for name, mirrored in ((row["place"], False), (f"{row['place']}, mirrored", True)):
            yield name, _site(row, mirrored)


def without_temperatures(site: Site) -> Site:
    """The same site as a farm that gives its frost dates alone."""
    return Site(site.latitude, site.longitude, site.zone, site.elevation_m, site.last_frost, site.first_frost)


def tried() -> list[tuple[str, Site]]:
    """Every site twice, with its temperatures and with its frost dates alone; neighbours in the list lie far apart."""
    both = [
        (f"{name}, {how}", site)
        for name, warm in every_site()
        for how, site in (("temperatures", warm), ("frost dates alone", without_temperatures(warm)))
    ]
    return [both[n * 149 % len(both)] for n in range(len(both))]  # 149 and 400 have no factor in common: each once


def frost_free_days(site: Site) -> int:
    """The median of the season without frost."""
    assert site.last_frost is not None
    assert site.first_frost is not None
    last, first = (frosts.points[1] for frosts in (site.last_frost, site.first_frost))
    return (date(2027, first.month, first.day) - date(2027, last.month, last.day)).days % 365


@dataclass(frozen=True, slots=True)
class Fare:
    """How a protocol fares at a site: what cannot be done there, else how many days it takes and what waits longest.

    `fault` is "" where it can be followed, "never" where a step has no day, "shut" where a window would close before
    it opens.
    """

    fault: str
    why: str
    days: int = 0


def fares(one: Built, here: Almanac) -> Fare:
    """A protocol at a site, begun on the day that suits it best."""
    chain = make_chain(one.protocol, here.for_species(one.species.marks) if one.species else here)
    for do, why in never_opens(chain, ABOUT):
        shut = "before it opens" in why
        return Fare("shut" if shut else "never", f"{do}: {why}")
    best: Fare | None = None
    for start in _starts(chain):
        placement = place(chain, Wish(start=start))
        earliest = [day for day in placement.earliest if day is not None]
        if not placement.fits or len(earliest) < len(placement.earliest):
            return Fare("never", "; ".join(placement.problems))
        days = max(earliest) - min(earliest)
        if best is None or days < best.days:
            best = Fare("", _waits_longest(chain, earliest), days)
    assert best is not None
    return best


def _starts(chain: Chain) -> list[int]:
    """The days of the year on which a first act's windows open; its first where it may be done on any."""
    days = set()
    for k in chain.roots:
        spans = chain.spans[k]
        day = ABOUT
        for _ in range(3):
            try:
                span = None if spans is None else spans.from_day(day)
            except NeverComes:
                break
            days.add(ABOUT if span is None else max(span.opens, ABOUT))
            day = ABOUT + 366 if span is None else span.closes + 1
            if day > ABOUT + 365:
                break
    return sorted(days) or [ABOUT]


def _waits_longest(chain: Chain, days: list[int]) -> str:
    """The act that waits longest for its window after what it follows, in words."""
    steps = chain.protocol.steps
    waits = [
        (days[j] - days[i] - wait.least, steps[i].do, steps[j].do)
        for (i, j), wait in chain.waits.items()
        if chain.spans[j] is not None
        and all(days[k] + chain.waits[k, j].least <= days[i] + wait.least for k in chain.before[j])
    ]
    if not waits:
        return ""
    most, first, then = max(waits)
    return f"{then} waits {most} days for its window after {first}"


def _site(row: dict[str, str], mirrored: bool) -> Site:
    last, first = (
        frost(spring, *((chance / 100, _month_day(row[f"{end}_{chance}"], mirrored)) for chance in (90, 50, 10)))
        for spring, end in ((True, "last"), (False, "first"))
    )
    months = [(m + 5) % 12 + 1 if mirrored else m for m in range(1, 13)]
    high, low = (tuple(float(row[f"{kind}_{m}"]) for m in months) for kind in ("max", "min"))
    latitude = float(row["latitude"]) * (-1 if mirrored else 1)
    where = latitude, float(row["longitude"]), row["zone"], float(row["elevation_m"])
    return Site(*where, last, first, temperature=Temperature(high, low))


def _month_day(text: str, mirrored: bool) -> tuple[int, int]:
    day = date(2027, *map(int, text.split("-"))) + timedelta(days=182 if mirrored else 0)
    return day.month, day.day
