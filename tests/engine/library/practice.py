"""Hold the computed dates against dated practice as published for a place, all in one process.

A row of `practice_published.csv` or `practice_second.csv` meets its published days where a batch of the species, by the
method and any of its routes, begun on the first of January, April, July or October, may do the step on one of them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from engine.almanac.almanac import Almanac, Site
from engine.almanac.normal_year import Temperature
from engine.schedule.chain import make_chain
from engine.schedule.start_and_ready import Wish
from engine.schedule.stretches import stretches
from tests.engine.library.built import Built, frost, named
from tests.reference.tables import rows

TODAY = date(2025, 12, 31).toordinal()
STARTS = [date(2026, month, 1).toordinal() for month in (1, 4, 7, 10)]
YEAR = 365
KIN = {  # a genus in the source: the species of it that stands for it
    "Salix spp.": "Salix viminalis",
    "Populus spp.": "Populus x canadensis",
    "Vitis spp.": "Vitis labrusca",
    "Viburnum spp.": "Viburnum trilobum",
    "Juglans spp.": "Juglans nigra",
    "Amelanchier sp.": "Amelanchier canadensis",
    "Ilex sp.": "Ilex aquifolium",
    "Cornus spp.": "Cornus sericea",
}
STEPS = {  # the published step: what it is called in the library
    "collect cuttings": ("collect",),
    "collect seed": ("collect",),
    "start cold": ("stratify cold",),
    "line out": ("line out", "line out stocks"),
    "lift": ("lift", "sever"),
    "plant out runners": ("sever", "lift"),
    "pot or lift runners": ("sever", "lift"),
}
BY_METHOD = {("division", "line out"): ("line out", "divide"), ("tuber", "lift"): ("lift", "collect")}


@dataclass(frozen=True, slots=True)
class Held:
    """A published row against what was computed: how far apart, the share of its days inside, the span in days."""

    row: dict[str, str]
    apart: int
    inside: float
    days: int

    @property
    def told(self) -> str:
        row = self.row
        return (
            f"{row['id']} {row['species']}, {row['method']}, {row['step']} at {row['place']}, {row['from_md']} to "
            f"{row['to_md']}: {self.apart} days apart, {self.inside:.0%} inside, {self.days} days computed"
        )


def held(table: str, warm: bool = True) -> tuple[list[Held], list[dict[str, str]]]:
    """The rows of a table that are dated, each at its best route, and those that are not."""
    return _held(tuple(map(tuple, (row.items() for row in rows(table)))), warm)


@lru_cache(maxsize=4)
def _held(table: tuple[tuple[tuple[str, str], ...], ...], warm: bool) -> tuple[list[Held], list[dict[str, str]]]:
    places: dict[str, list[dict[str, str]]] = defaultdict(list)
    for items in table:
        row = dict(items)
        places[row["place"]].append(row)
    found, left = [], []
    for place, here in places.items():
        almanac = Almanac(site(place, warm))
        dated: dict[str, list[list[tuple[str, frozenset[int]]]]] = {}
        for row in here:
            species = KIN.get(row["species"], row["species"])
            key = f"{species}, {row['method']}"
            if key not in dated:
                ways = [b for b in named(species) if b.draft.species == species and b.draft.method == row["method"]]
                dated[key] = [plan for way in ways for plan in plans(way, almanac)]
            best = min((h for plan in dated[key] for h in _against(row, plan)), key=_nearest, default=None)
            if best is None:
                left.append(row)
            else:
                found.append(best)
    return found, left


def site(place: str, warm: bool = True) -> Site:
    """A place of practice_sites.csv, with or without its temperatures."""
    row = next(row for row in rows("practice_sites") if row["place"] == place)
    last, first = (
        frost(spring, *((chance / 100, _month_day(row[f"{end}_{chance}"])) for chance in (90, 50, 10)))
        for spring, end in ((True, "last"), (False, "first"))
    )
    high, low = (tuple(float(row[f"{kind}_{m}"]) for m in range(1, 13)) for kind in ("max", "min"))
    where = float(row["latitude"]), float(row["longitude"]), row["zone"], float(row["elevation_m"])
    return Site(*where, last, first, temperature=Temperature(high, low) if warm else None)


def plans(one: Built, almanac: Almanac, starts: Sequence[int] = STARTS) -> Iterable[list[tuple[str, frozenset[int]]]]:
    """For each start the steps of a protocol at a site, each with the days of the year on which it may be done."""
    here = almanac.for_species(one.species.marks) if one.species else almanac
    chain = make_chain(one.protocol, here)
    for start in starts:
        spans = stretches(chain, Wish(start=start), TODAY)
        yield [(s.do, days_of(found)) for s, found in zip(one.protocol.steps, spans, strict=True) if found]


def days_of(spans: Iterable[tuple[int, int]]) -> frozenset[int]:
    """Stretches of ordinals as days of the year, 0 to 364."""
    days: set[int] = set()
    for first, last in spans:
        days |= between(_day(date.fromordinal(first)), _day(date.fromordinal(last)), last - first >= YEAR - 1)
    return frozenset(days)


def between(first: int, last: int, whole: bool = False) -> set[int]:
    """Days of the year from one to another, over the New Year where need be."""
    return set(range(YEAR)) if whole else {(first + n) % YEAR for n in range((last - first) % YEAR + 1)}


def steps_of(row: dict[str, str]) -> tuple[str, ...]:
    """What the library calls the published step."""
    step = row["step"].split(" (")[0]
    return BY_METHOD.get((row["method"], step)) or STEPS.get(step) or (step,)


def shares(found: list[Held]) -> tuple[float, float, float]:
    """The share that meet, the mean share of the published days inside, and the mean computed span in days."""
    n = len(found)
    return sum(h.apart == 0 for h in found) / n, sum(h.inside for h in found) / n, sum(h.days for h in found) / n


def _against(row: dict[str, str], plan: list[tuple[str, frozenset[int]]]) -> Iterable[Held]:
    days = between(*(_day(date(2027, *_month_day(row[end]))) for end in ("from_md", "to_md")))
    for do, span in plan:
        if do in steps_of(row):
            apart = 0 if days & span else min(min((a - b) % YEAR, (b - a) % YEAR) for a in days for b in span)
            yield Held(row, apart, len(days & span) / len(days), len(span))


def _nearest(one: Held) -> tuple[int, float, int]:
    return one.apart, -one.inside, one.days


def _day(day: date) -> int:
    return min(day.timetuple().tm_yday, YEAR) - 1


def _month_day(text: str) -> tuple[int, int]:
    month, day = text.split("-")
    return int(month), int(day)
