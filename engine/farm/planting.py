"""Read what a farm file says of plantings: positions, each with the plant wanted and its understudies, and its needs.

A planting says when it is planted: `by = 2028-03-01`, or `season = "spring 2028"` (by bud swell, while plants are
dormant), `season = "autumn 2028"` (by three weeks after leaf drop), `season = "winter 2027-28"`, south of the equator
`"winter 2028"` (by four weeks before bud swell): common practice for bare-root stock.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

from engine.almanac.almanac import Almanac, Site
from engine.almanac.phrases import parse_phrase
from engine.farm.stock import Need
from engine.protocols.model import LAYERS
from engine.reading.amounts import metres, pair_of_metres
from engine.reading.frozen import dataclass, replace
from engine.reading.limits import FARTHEST_M, FIRST_YEAR, LAST_YEAR, MOST_PLANTS
from engine.reading.table import Table
from engine.reading.texts import REMEDY, on_one_line, unfit

YEARLY, FIRST_YEAR_SHARE = 0.97, 0.9
"""The share that lives through a year once established, and through the first one: from memory."""
RAISED = ("seed", "vegetative")
PURPOSES = ("crop", "understudy", "guard", "cover", "nurse", "support")
_SEASONS = {
    "spring": ("bud swell", 3, 9), "autumn": ("leaf drop + 3 weeks", 11, 5), "winter": ("bud swell - 4 weeks", 1, 7),
}  # fmt: skip
"""By what phrase, and about which month north and south of the equator."""


@dataclass(frozen=True, slots=True)
class Understudy:
    """A plant set beside the one wanted, so many at each position, to bear should that one fail.

    `at_m` is where the first of them stands, beside the first plant of its position: metres east and north.
    """

    species: str
    cultivar: str = ""
    count: int = 1
    id: str = ""
    at_m: tuple[float, float] | None = None
    layer: str = ""
    purpose: str = "understudy"


@dataclass(frozen=True, slots=True)
class PlantingPosition:
    """So many like positions: the plant wanted and its understudies. Metres; shares 0 to 1; bearing in years.

    What is left out (None) comes from the planting or the library.
    """

    species: str
    cultivar: str
    count: int
    understudies: tuple[Understudy, ...] = ()
    spacing_m: float | None = None
    raised: str = ""
    """How it was raised, one of RAISED, where that is not told by its having a cultivar."""
    bearing_years: tuple[float, float] | None = None
    yearly_survival: float | None = None
    id: str = ""
    at_m: tuple[float, float] | None = None
    """Where it stands, or the first of a row: metres east and north of the planting's corner."""
    bearing_deg: float = 90.0
    """Where a row runs to from there, in degrees clockwise from north, its plants `spacing_m` apart; 90: east."""
    layer: str = ""
    """One of LAYERS; nothing where its species says it."""
    purpose: str = "crop"
    """One of PURPOSES."""
    planted: date | None = None
    """When it was planted, where the farm file says that it stands."""


@dataclass(frozen=True, slots=True)
class Planting:
    """A design to be planted out by a day, which its needs take over; `sure` is how surely (0 to 1)."""

    name: str
    by: date | None
    season: str
    positions: tuple[PlantingPosition, ...]
    form: str = ""
    sure: float = 0.9
    yearly_survival: float = YEARLY
    first_year_survival: float = FIRST_YEAR_SHARE

    def needs(self) -> tuple[Need, ...]:
        """What it asks for, each plant once, in the order in which the design names them, first choices first.

        What the farm file says is planted is asked for no more.
        """
        counts: dict[tuple[str, str], int] = {}
        for here in self.positions:
            asked = 0 if here.planted else here.count
            counts[here.species, here.cultivar] = counts.get((here.species, here.cultivar), 0) + asked
        for here in self.positions:
            for other in here.understudies:
                key, asked = (other.species, other.cultivar), 0 if here.planted else other.count * here.count
                counts[key] = counts.get(key, 0) + asked
        return tuple(
            Need(self.need_id(n), species, cultivar, self.form, count, self.by, self.sure, self.name)
            for n, ((species, cultivar), count) in enumerate(counts.items(), 1)
            if count
        )

    def need_id(self, n: int) -> str:
        """The id of the need for the n-th kind of plant that the design names, from 1."""
        return f"{self.name} {n}"

    def named(self, latin: Callable[[str], str]) -> Planting:
        """The same planting with the Latin name that each of its names means."""
        positions = tuple(
            replace(
                here,
                species=latin(here.species),
                understudies=tuple(replace(u, species=latin(u.species)) for u in here.understudies),
            )
            for here in self.positions
        )
        return replace(self, positions=positions)

    def species(self) -> frozenset[str]:
        """Every species that it names."""
        return frozenset(
            name for here in self.positions for name in (here.species, *(u.species for u in here.understudies))
        )


def read_planting(table: Table, site: Site | None) -> Planting | None:
    """One [[planting]] table; None where it lacks its name or has no position that can be read."""
    name = table.text("name", required=True)
    season, by, planted = table.text("season") or "", table.day("by"), table.day("planted")
    tables = table.tables("position")
    positions = tuple(here for t in tables if (here := _read_position(t, planted)) is not None)
    if season and by is not None:
        table.fault("season", "a planting has a season or a by date, not both", "leave one of them out")
    elif season:
        by = _day_of(season, table, site)
    elif by is None and planted is not None:
        by = planted
    elif not (table.has("by") or table.has("planted")):
        table.fault(None, "a planting needs a season or a by date", 'add season = "autumn 2028", or by = 2028-11-20')
    if not tables:
        table.fault(None, "a planting has no positions", "add [[planting.position]] tables with species and count")
    _check_ids(tables)
    planting = Planting(
        name=name or "",
        by=by,
        season=season,
        positions=positions,
        form=table.text("form") or "",
        sure=table.number("sure", 0.01, 0.9999) or 0.9,
        yearly_survival=_or(table.number("yearly_survival", 0, 1), YEARLY),
        first_year_survival=_or(table.number("first_year_survival", 0, 1), FIRST_YEAR_SHARE),
    )
    table.finish()
    return planting if name and positions else None


def _read_position(table: Table, planted: date | None) -> PlantingPosition | None:
    species = table.text("species", required=True)
    count = table.whole("count", 1, MOST_PLANTS)
    spacing, at = metres(table, "spacing_m", 0.01, 100), _read_spot(table)
    bearing = table.number("bearing_deg", 0, 360)
    here = PlantingPosition(
        species=species or "",
        cultivar=table.text("cultivar") or "",
        count=1 if count is None else count,
        understudies=_read_understudies(table),
        spacing_m=spacing,
        raised=table.choice("raised", RAISED) or "",
        bearing_years=_read_bearing(table),
        yearly_survival=table.number("yearly_survival", 0, 1),
        id=table.text("id") or "",
        at_m=at,
        bearing_deg=_or(bearing, 90.0),
        layer=table.choice("layer", LAYERS) or "",
        purpose=table.choice("purpose", PURPOSES) or "crop",
        planted=table.day("planted") or planted,
    )
    if at is not None and here.count > 1 and spacing is None and not table.has("spacing_m"):
        remedy = "add spacing_m = 2.5 and, where it does not run east, bearing_deg = 0 (degrees from north)"
        table.fault("at_m", f"a row of {here.count} that has a spot needs spacing_m", remedy)
    elif bearing is not None and at is None and not table.has("at_m"):
        table.fault(
            "bearing_deg", "a row needs a starting point", "add at_m = [0, 4]: metres east and north of the corner"
        )
    table.finish()
    return here if species else None


def _read_spot(table: Table) -> tuple[float, float] | None:
    value = table.raw("at_m")
    if value is None:
        return None
    if (spot := pair_of_metres(value)) is not None:
        if all(-FARTHEST_M <= v <= FARTHEST_M for v in spot):
            return spot
        table.fault("at_m", f"at_m is more than {FARTHEST_M:,} m from the planting's corner", "give it in metres")
        return None
    remedy = 'write at_m = [3.5, 4] (metres east and north of the planting\'s corner), or at_m = ["11 ft", "13 ft"]'
    table.fault("at_m", "at_m is a pair of numbers", remedy)
    return None


def _read_understudies(table: Table) -> tuple[Understudy, ...]:
    value = table.raw("understudies")
    found = []
    for n, item in enumerate(value if isinstance(value, list) else [] if value is None else [value]):
        if isinstance(item, str) and item.strip():
            if wrong := unfit(item):
                table.fault("understudies", f"a text of understudies {wrong}", REMEDY)
            else:
                found.append(Understudy(on_one_line(item)))
        elif isinstance(item, dict):
            one = Table(item, (*table.path, "understudies", n), table.findings)
            species = one.text("species", required=True)
            count = one.whole("count", 1, 1000)
            spot = _read_spot(one)
            if spot is not None and not table.has("at_m"):
                one.fault("at_m", "an understudy has at_m and its position has none", "give the position at_m too")
            found.append(
                Understudy(
                    species or "", one.text("cultivar") or "", 1 if count is None else count,
                    one.text("id") or "", spot, one.choice("layer", LAYERS) or "",
                    one.choice("purpose", PURPOSES) or "understudy",
                )
            )  # fmt: skip
            one.finish()
        else:
            remedy = 'write understudies = ["Corylus avellana"], or [{species = "Corylus avellana", count = 2}]'
            table.fault("understudies", "understudies are species, or tables of species, cultivar and count", remedy)
    return tuple(u for u in found if u.species)


def _check_ids(tables: list[Table]) -> None:
    """Ids of positions and understudies are unique in a planting, also beside those that it gives by itself."""
    taken = {f"P{n}" for n, table in enumerate(tables, 1) if not isinstance(table.values.get("id"), str)}
    for table in tables:
        others = table.values.get("understudies")
        within = [other for other in others if isinstance(other, dict)] if isinstance(others, list) else []
        for name in (each.get("id") for each in (table.values, *within)):
            if isinstance(name, str) and name.strip() in taken:
                table.fault(
                    "id", f'two positions are called "{name.strip()}"', "ids must be unique: change one of them"
                )
            elif isinstance(name, str):
                taken.add(name.strip())


def _read_bearing(table: Table) -> tuple[float, float] | None:
    value = table.raw("bearing_years")
    if value is None:
        return None
    if isinstance(value, list) and len(value) == 2 and all(_is_number(v) and 0 <= v <= 200 for v in value):
        low, high = float(value[0]), float(value[1])
        if low <= high:
            return low, high
    table.fault("bearing_years", "bearing_years is a pair of years, the smaller first", "write bearing_years = [3, 5]")
    return None


def _day_of(season: str, table: Table, site: Site | None) -> date | None:
    """By when a season's planting is done, at this site."""
    found = re.fullmatch(r"(spring|autumn|winter) (\d{4})(?:-(\d{2}))?", season)
    straddles = found is not None and found[1] == "winter" and site is not None and site.latitude >= 0
    year = int(found[2]) + straddles if found else 0
    if found is None or (found[3] or "") != (f"{year % 100:02}" if straddles else "") or not _in_time(year):
        hint = 'write "spring 2028", "autumn 2028" or "winter 2027-28" (south of the equator "winter 2028")'
        table.fault("season", f'season "{season}" is not known', hint)
        return None
    if site is None:
        return None
    text, north, south = _SEASONS[found[1]]
    about = date(year, north if site.latitude >= 0 else south, 15).toordinal()
    almanac, phrase = Almanac(site), parse_phrase(text)
    turn = almanac.nearest(phrase, about)
    day = None if turn is None else almanac.occurrence(phrase, turn)
    return date.fromordinal(about if day is None else day)


def _in_time(year: int) -> bool:
    return FIRST_YEAR <= year <= LAST_YEAR


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _or(value: float | None, default: float) -> float:
    return default if value is None else value
