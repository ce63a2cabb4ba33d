"""The light in a planting: the crowns of its plants as they grow, and the direct sun that each of them gets.

What is dead shades nothing. Crowns grow into one another, as in a hedge, but none nearer to another's stem than a fifth
of the way, unless it overtops that one: its middle stands above the other's top. Years are counted from that in which
the planting was planted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import lru_cache
from math import hypot, log

from engine.almanac.almanac import Almanac
from engine.almanac.phrases import parse_phrase
from engine.almanac.sun import turn
from engine.farm.layout import Plant
from engine.farm.planting import Planting
from engine.light.crowns import BARE, Crown, sun_minutes
from engine.light.path import SunPath, sun_path
from engine.protocols.habit import Habit, habit_of
from engine.reading.frozen import dataclass, field, replace
from engine.records.plantings import Life
from engine.schedule.nursery import Nursery

AGES = (1, 5, 10, 20)
"""Years after planting at which the light is told."""
OLDEST = 40
NEAREST = 0.8
"""Of the way to another's stem, so much may a crown reach (from memory)."""
PARTS = (1 / 6, 1 / 2, 5 / 6)
"""At these parts of its crown's height a plant is lit: the middle of its lower, middle and upper third."""
_SEASON_STEP = 6.0
"""Minutes between the sun's places where a whole season is summed."""
_DAYS = 8
"""So many days, evenly spread, stand for the growing season."""
_WHOLE_YEAR = 365
_SWELL, _DROP = parse_phrase("bud swell"), parse_phrase("leaf drop")


@dataclass(frozen=True, slots=True)
class Grower:
    """A plant as the light has it: its spot, its habit, since which year of the planting, and whether it lives."""

    plant: Plant
    habit: Habit
    since: int
    alive: bool
    leaf: tuple[int, int] | None
    """From which to which ordinal day it is in leaf; None: the whole year."""

    def crown(self, year: float) -> Crown | None:
        """Its crown so many years on; None where it has no spot, or is not there yet."""
        if self.plant.at is None or year < self.since:
            return None
        return self.at_age(year - self.since)

    def at_age(self, age: float) -> Crown | None:
        """Its crown at an age; None where it has no spot."""
        if self.plant.at is None:
            return None
        height, spread = self.habit.size(age)
        east, north = self.plant.at
        return Crown(east, north, height * self.habit.trunk, height, spread / 2)


@dataclass(frozen=True, slots=True)
class Light:
    """The light in one planting."""

    place: tuple[float, float, str]
    """Latitude, longitude, zone."""
    year: int
    """In which it was planted, or is to be."""
    longest: int
    """The ordinal of the longest day."""
    growers: tuple[Grower, ...]
    _season: dict[tuple[int, int], float] = field(default_factory=dict)
    _crowns: dict[int, tuple[Crown | None, ...]] = field(default_factory=dict)
    _crowding: list[tuple[int, int, int]] = field(default_factory=list)

    def crowns(self, year: int) -> tuple[Crown | None, ...]:
        """The crowns that shade, so many years on, in the order of the plants."""
        if year not in self._crowns:
            self._crowns[year] = _shared([each.crown(year) if each.alive else None for each in self.growers])
        return self._crowns[year]

    def hours(self, year: int) -> tuple[float | None, ...]:
        """Hours of direct sun on the longest day at every plant, so many years on; None for one without a spot."""
        spots = tuple(each.at_age(max(0, year - each.since)) for each in self.growers)
        minutes = _lit(*self.place, self.longest, spots, self.crowns(year))
        return tuple(None if each is None else each / 60 for each in minutes)

    def hours_at(self, k: int, year: int) -> float | None:
        """The same at one plant."""
        spot = self.growers[k].at_age(max(0, year - self.growers[k].since))
        if spot is None:
            return None
        path = sun_path(*self.place, self.longest)
        return _minutes(path, spot, self.crowns(year), k) / 60

    def season_hours(self, k: int, year: int) -> float | None:
        """Hours of direct sun at one plant on a mean day of its growing season, so many years on."""
        grower = self.growers[k]
        spot = grower.at_age(max(0, year - grower.since))
        if spot is None:
            return None
        if (k, year) not in self._season:
            first, last = grower.leaf or (self.longest, self.longest + _WHOLE_YEAR)
            total = 0.0
            for n in range(_DAYS):
                day = first + round((n + 0.5) * (last - first) / _DAYS)
                path = sun_path(*self.place, _like(day), _SEASON_STEP)
                total += _minutes(path, spot, self._on(year, day), k)
            self._season[k, year] = total / _DAYS / 60
        return self._season[k, year]

    def season_days(self, k: int) -> int:
        """Days of a plant's growing season, from bud swell to leaf drop."""
        leaf = self.growers[k].leaf
        return _WHOLE_YEAR if leaf is None else leaf[1] - leaf[0]

    def _on(self, year: int, day: int) -> list[Crown | None]:
        """The crowns on a day of the season: what is bare lets a share through."""
        found = []
        for grower, crown in zip(self.growers, self.crowns(year), strict=True):
            leafy = grower.leaf is None or (day - grower.leaf[0]) % _WHOLE_YEAR < grower.leaf[1] - grower.leaf[0]
            found.append(crown if crown is None or leafy else replace(crown, takes=BARE))
        return found

    def short_from(self, k: int, since: int) -> int | None:
        """The first year from `since` on in which a plant gets less sun than it asks for; None: in none to come."""
        grower = self.growers[k]
        if grower.plant.at is None:
            return None
        wanted = grower.habit.hours_wanted

        def short(year: int) -> bool:
            hours = self.season_hours(k, year)
            return hours is not None and hours < wanted

        good = since - 1
        for year in sorted({since, *(n for n in (5, 10, 20, OLDEST) if n > since)}):
            if short(year):
                while year - good > 1:
                    middle = (year + good) // 2
                    good, year = (good, middle) if short(middle) else (middle, year)
                return year
            good = year
        return None

    def crowding(self) -> list[tuple[int, int, int]]:
        """Pairs of living plants of which one comes to stand under the other's crown, and in which year.

        Only such as grow about as high, and no two of one row: those are meant to close up.
        """
        if self._crowding:
            return self._crowding
        found = self._crowding
        here = [(k, g) for k, g in enumerate(self.growers) if g.alive and g.plant.at is not None]
        for n, (k, one) in enumerate(here):
            for j, two in here[n + 1 :]:
                same = one.plant.position is two.plant.position and (one.plant.beside == "") == (two.plant.beside == "")
                low, high = sorted((one.habit.height, two.habit.height))
                if same or low < high / 2:
                    continue
                away = _away(one.plant, two.plant)
                reached = [year for g in (one, two) if (year := _reaches(g, away)) is not None]
                if reached:
                    found.append((k, j, min(reached)))
        return found


def _away(one: Plant, two: Plant) -> float:
    """Metres between two plants that have a spot."""
    (east, north), (other_east, other_north) = one.at or (0.0, 0.0), two.at or (0.0, 0.0)
    return hypot(east - other_east, north - other_north)


def _reaches(grower: Grower, away: float) -> int | None:
    """The year in which a crown reaches so far; None where it never does."""
    share = (2 * away / grower.habit.spread - 0.1) / 0.9
    if share >= 0.95:
        return None
    age = -log(1 - max(0.0, share)) * grower.habit.years / 3
    return grower.since + max(1, round(age))


@lru_cache(maxsize=512)
def _lit(
    latitude: float,
    longitude: float,
    zone: str,
    day: int,
    spots: tuple[Crown | None, ...],
    crowns: tuple[Crown | None, ...],
) -> tuple[float | None, ...]:
    """Minutes of sun at each spot: the same as long as nothing that it rests on has changed."""
    path = sun_path(latitude, longitude, zone, day)
    return tuple(None if spot is None else _minutes(path, spot, crowns, k) for k, spot in enumerate(spots))


def _minutes(path: SunPath, own: Crown, crowns: Sequence[Crown | None], k: int) -> float:
    """Minutes of sun on a plant, the k-th, past all others: the mean over the lower, middle and upper part of it."""
    others = [crown for n, crown in enumerate(crowns) if crown is not None and n != k]
    heights = (own.base + part * (own.top - own.base) for part in PARTS)
    return sum(sun_minutes(path, (own.east, own.north, height), others) for height in heights) / len(PARTS)


def _like(day: int) -> int:
    """The same day of a fixed year: the sun's path is the same to a minute, and is found once."""
    when = date.fromordinal(day)
    return date(2026, when.month, 28 if (when.month, when.day) == (2, 29) else when.day).toordinal()


def light_of(
    nursery: Nursery, planting: Planting, plants: Sequence[Plant], lives: Mapping[str, Life], today: date
) -> Light:  # fmt: skip
    """The light of a planting as it stands on a day."""
    farm, site = nursery.farm, nursery.farm.site
    begun = planting.by.year if planting.by is not None else today.year
    habits: dict[str, Habit] = {}
    leaves: dict[str, tuple[int, int] | None] = {}
    growers = []
    for plant in plants:
        species = farm.species_of(plant.species)
        if plant.species not in habits:
            habits[plant.species] = habit_of(species)
            leaves[plant.species] = None if species.evergreen else _leaf(nursery.almanac_for(plant.species), today)
        life = lives.get(plant.id)
        since = life.planted.year - begun if life is not None and life.planted is not None else 0
        alive = life is None or life.state != "dead"
        growers.append(Grower(plant, habits[plant.species], since, alive, leaves[plant.species]))
    longest = turn("june" if site.latitude >= 0 else "december", 2026, site.zone)
    return Light((site.latitude, site.longitude, site.zone), begun, longest, tuple(growers))


def _leaf(almanac: Almanac, today: date) -> tuple[int, int] | None:
    """From bud swell to leaf drop, in the season about a day; None where either never comes."""
    season = almanac.nearest(_SWELL, today.toordinal())
    swell = None if season is None else almanac.occurrence(_SWELL, season)
    drop = None if swell is None else almanac.first_from(_DROP, swell)
    return None if swell is None or drop is None or not 0 < drop - swell < _WHOLE_YEAR else (swell, drop)


def _shared(crowns: Sequence[Crown | None]) -> tuple[Crown | None, ...]:
    """The crowns as they leave one another room."""
    here = sorted((crown.east, k) for k, crown in enumerate(crowns) if crown is not None)
    widest = max((crown.radius for crown in crowns if crown is not None), default=0.0)
    radii = [crown.radius if crown is not None else 0.0 for crown in crowns]
    for n, (east, k) in enumerate(here):
        one = crowns[k]
        assert one is not None
        for other_east, j in here[n + 1 :]:
            if NEAREST * (other_east - east) >= max(one.radius, widest):
                break
            two = crowns[j]
            assert two is not None
            away = hypot(other_east - east, two.north - one.north)
            low, high = (one, two) if one.top <= two.top else (two, one)
            if away > 0 and low.top > (high.base + high.top) / 2:
                radii[k], radii[j] = min(radii[k], NEAREST * away), min(radii[j], NEAREST * away)
    return tuple(
        crown if crown is None or crown.radius == radius else replace(crown, radius=radius)
        for crown, radius in zip(crowns, radii, strict=True)
    )
