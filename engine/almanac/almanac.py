"""The dates of one site: every phrase has a series of occurrences, one for each turn of the season.

An Almanac keeps what it has computed; it is otherwise a value: the same site, marks and sightings give the same dates.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from engine.almanac.frost import FrostChanceUnknown, FrostDates, frost_day, month_day
from engine.almanac.marks import DEFAULTS, WARM_MARKS, Definition, Definitions, warm_defaults
from engine.almanac.phrases import (
    FROST_MARKS,
    MONTHS,
    SUN_MARKS,
    WARMTH_MARKS,
    Base,
    CalendarBase,
    DayLengthBase,
    MarkBase,
    Phrase,
    parse_phrase,
)
from engine.almanac.species_marks import FARM_LEVEL, Layers, definition_of, level_for, resting_on
from engine.almanac.sun import crossing, day_length, turn
from engine.reading.frozen import dataclass, field, replace

if TYPE_CHECKING:
    from engine.almanac.normal_year import Temperature
    from engine.almanac.several_windows import Several
    from engine.almanac.thermometer import Thermometer
    from engine.almanac.warmth_reached import Climate
    from engine.almanac.windows import Spans, Window

_YEAR = 365.2425
_LIGHT_OR_FROST = (*FROST_MARKS, *SUN_MARKS)
_NEAREST = 90
"""Days from an occurrence within which no other lies: they are a year apart, and seen half a year off at most."""
_ANY_DAY = date(2025, 7, 1).toordinal()


@dataclass(frozen=True, slots=True)
class Site:
    """Where: degrees north and east, IANA zone, metres; frost dates and temperatures, or None where not known."""

    latitude: float
    longitude: float
    zone: str
    elevation_m: float = 0.0
    last_frost: FrostDates | None = None
    first_frost: FrostDates | None = None
    marks: Definitions = field(default_factory=dict)
    temperature: Temperature | None = None
    record: str = ""
    """The file of the daily record, as the farm file names it."""
    thermometer: Thermometer | None = None
    """The daily means of late, to yesterday, where there is such a record."""
    coldest: float | None = None
    """The coldest night of a year, on average, degrees Celsius."""
    region: str = ""
    """Whose laws hold: a country by ISO 3166-1, or a part of one by ISO 3166-2; empty where it is not known."""

    @property
    def defaults(self) -> Definitions:
        """What the marks rest on here, unless the farm or a species says otherwise."""
        return DEFAULTS if self.temperature is None else warm_defaults()


@dataclass(frozen=True, slots=True)
class Sighting:
    """A mark that the grower saw on a day: it replaces the computed one for its season."""

    mark: str
    day: date


class NeverComes(ValueError):
    """A phrase that has no date at this site; the message says why."""


class Almanac:
    """One site's occurrences of phrases, by season number (about the calendar year)."""

    def __init__(
        self,
        site: Site,
        sightings: Iterable[Sighting] = (),
        species_marks: Definitions | None = None,
        common: Almanac | None = None,
    ) -> None:
        self.site = site
        self.sightings = tuple(sightings)
        self.layers: Layers = (site.defaults, site.marks, species_marks or {})
        self._seen: dict[str, list[int]] = {}
        for sighting in self.sightings:
            self._seen.setdefault(sighting.mark, []).append(sighting.day.toordinal())
        self._marks: dict[tuple[str, int, float | None, int], int | None] = {}
        self._warm: dict[tuple[Base, int], int | None] = {}
        self._common = common
        self._own = resting_on(species_marks or {}, self.layers) if common is not None else frozenset()
        """The marks that a species has otherwise than the site, and all that rest on them."""
        self.spans: dict[Window, Spans] = {}
        self.several: dict[tuple[Window, ...], Several] = {}

    def for_species(self, marks: Definitions) -> Almanac:
        """The same site as this species sees it (currants swell weeks before apples)."""
        return Almanac(self.site, self.sightings, marks, self) if marks else self

    def common_to(self, phrases: Iterable[Phrase]) -> Almanac:
        """The almanac that dates these phrases for all species: this one only where its species has them otherwise.

        What is common is then found once for a farm, and not for every species anew.
        """
        if self._common is None or any(isinstance(p.base, MarkBase) and p.base.name in self._own for p in phrases):
            return self
        return self._common

    @cached_property
    def climate(self) -> Climate | None:
        """The normal year and the thermometer, where the site gives temperatures."""
        if self._common is not None:
            return self._common.climate
        if self.site.temperature is None:
            return None
        from engine.almanac.warmth_reached import Climate  # most farms start without

        return Climate(self.site.temperature, self.site.latitude >= 0, self.site.zone, self.site.thermometer)

    @cached_property
    def usual(self) -> Almanac | None:
        """The same without the thermometer, where it moves anything."""
        if self.site.thermometer is None or self.site.temperature is None:
            return None
        return Almanac(replace(self.site, thermometer=None), self.sightings, self.layers[2])

    def day_minutes(self, day: date) -> float:
        """Minutes from sunrise to sunset."""
        return day_length(self.site.latitude, self.site.longitude, self.site.zone, day.toordinal())

    def occurrence(self, phrase: Phrase, season: int) -> int | None:
        """The ordinal of the phrase in that season, or None where it does not come."""
        base = self.day_of(phrase.base, season)
        return None if base is None else base + phrase.offset

    def nearest(self, phrase: Phrase, ordinal: int) -> int | None:
        """The season number of the occurrence nearest to that day, or None where none is about."""
        return nearest_season(lambda season: self.occurrence(phrase, season), ordinal)

    def first_from(self, phrase: Phrase, ordinal: int) -> int | None:
        """The first occurrence on or after that day."""
        about = _about(lambda season: self.occurrence(phrase, season), ordinal)
        if about is None:
            return None
        _, middle, value = about
        if value is not None and 0 <= value - ordinal <= _NEAREST:  # none lies between
            return value
        found: int | None = None
        for season in range(middle - 1, middle + 3):
            value = self.occurrence(phrase, season)
            if value is not None and value >= ordinal and (found is None or value < found):
                found = value
                if not self.sightings:  # what is computed is in order
                    break
        return found

    def latest(self, phrase: Phrase, since: int, until: int) -> int | None:
        """The last occurrence from one day to another (ordinals, both counted); None where there is none."""
        found, latest = self.first_from(phrase, since), None
        while found is not None and found <= until:
            latest, found = found, self.first_from(phrase, found + 1)
        return latest

    def better_with_temperatures(self) -> tuple[str, ...]:
        """The marks that temperatures would date better here: those on the defaults, where the site gives none."""
        if self.site.temperature is not None:
            return ()
        named = (name for name in DEFAULTS if name in WARM_MARKS and not name.endswith(" ends"))
        return tuple(name for name in named if name not in self.site.marks)

    def mark_names(self) -> tuple[str, ...]:
        """Every mark that has a name here: frost, the grower's own and the defaults, and the sun's."""
        names = dict.fromkeys(FROST_MARKS) | dict.fromkeys(name for layer in self.layers for name in layer)
        return (*names, *SUN_MARKS, *(WARMTH_MARKS if self.site.temperature else ()))

    # -- how a base is dated -------------------------------------------------------------------------------------

    def day_of(self, base: Base, season: int, level: int | None = None) -> int | None:
        """The ordinal of a base in a season, by the layers of marks up to a level (None: all of them)."""
        if isinstance(base, CalendarBase):
            return month_day(season, base.month, base.day).toordinal()
        if not isinstance(base, MarkBase) or base.name in WARMTH_MARKS:
            return self._ground(base, season)
        if base.name in SUN_MARKS:
            return self._sun(base.name, season)
        if self._common is not None and base.name not in self._own:
            return self._common.day_of(base, season, level)
        level = len(self.layers) - 1 if level is None else level
        key = (base.name, level, base.chance, season)
        if key not in self._marks:
            self._marks[key] = None  # a mark that depends on itself never comes; reading the file has said so
            self._marks[key] = self._mark(base, season, level)
        return self._marks[key]

    def _mark(self, base: MarkBase, season: int, level: int) -> int | None:
        definition, found = definition_of(base.name, self.layers, level)
        if base.name not in FROST_MARKS and definition is None:
            return None
        if found <= FARM_LEVEL and (seen := self.sighted(base, season, found, definition)) is not None:
            return seen
        return self._computed(base, season, found, definition)

    def _computed(self, base: MarkBase, season: int, level: int, definition: Definition | None) -> int | None:
        if definition is None:
            frost = self.site.last_frost if base.name == "last frost" else self.site.first_frost
            if frost is None:
                return None
            default = frost.points[0].chance if frost.single and base.chance is None else 0.5
            try:
                return frost_day(frost, season, default if base.chance is None else base.chance)
            except FrostChanceUnknown:
                return None
        if definition.frost_free_under is not None and not self._short_season(season, definition.frost_free_under):
            return None
        if definition.where_comes is not None and self.comes(definition.where_comes) is None:
            return None
        if definition.where_never is not None and self.comes(definition.where_never) is not None:
            return None
        days = self.parts(definition, base.name, season, level)
        return None if not days else (max if definition.latest else min)(day for day, _ in days)

    def parts(self, definition: Definition, name: str, season: int, level: int) -> list[tuple[int, Phrase]]:
        """The dates of a definition's phrases: those after the first at their occurrence nearest to it.

        A phrase that never comes is left out: where there is no frost, light alone rules.
        """

        def at(phrase: Phrase, k: int) -> int | None:
            base = phrase.base
            value = self.day_of(base, k, level_for(base, name, level))
            return None if value is None else self._moved(base, value, value + phrase.offset)

        days: list[tuple[int, Phrase]] = []
        for phrase in definition.phrases:
            if not days:
                value = at(phrase, season)
            else:
                k = nearest_season(lambda s, p=phrase: at(p, s), days[0][0])  # type: ignore[misc]
                value = None if k is None else at(phrase, k)
            if value is not None:
                days.append((value, phrase))
        return days

    def _moved(self, base: Base, value: int, day: int) -> int:
        """The day of a mark on light or on frost (50 % chance), moved by the thermometer; what was seen stands.

        A chance that was asked for is about frost itself, which a forward spring does not put off.
        """
        if self.usual is None:
            return day
        if isinstance(base, MarkBase) and (base.chance is not None or base.name not in _LIGHT_OR_FROST):
            return day
        if not isinstance(base, MarkBase | DayLengthBase) or (isinstance(base, MarkBase) and self.is_seen(base, value)):
            return day
        from engine.almanac.warmth_reached import moved

        return day if self.climate is None else moved(self.climate, day)

    def sighted(self, base: MarkBase, season: int, level: int, definition: Definition | None) -> int | None:
        """The ordinal on which a mark was seen in that season, by the latest record; None where it was not."""
        if base.name not in self._seen:
            return None
        plain = MarkBase(base.name)
        for seen in reversed(self._seen[base.name]):  # the latest record of a season holds
            k = nearest_season(lambda s: self._computed(plain, s, level, definition), seen)
            if (date.fromordinal(seen).year if k is None else k) == season:
                return seen
        return None

    def _short_season(self, season: int, days: int) -> bool:
        last = self.day_of(MarkBase("last frost"), season, FARM_LEVEL)
        if last is None:
            return False
        first = self.first_from(parse_phrase("first frost"), last)
        return first is not None and first - last < days

    def comes(self, phrase: Phrase) -> int | None:
        """A season in which a phrase comes, about now as well as at any time."""
        return self.nearest(phrase, _ANY_DAY)

    def _ground(self, base: Base, season: int) -> int | None:
        """What rests on the light or the warmth of the site alone."""
        if isinstance(base, DayLengthBase):
            site = self.site
            return crossing(site.latitude, site.longitude, site.zone, base.rising, base.minutes, season)  # and kept
        if (climate := self.climate) is None:
            return None
        if self._common is not None:
            return self._common._ground(base, season)
        if (base, season) not in self._warm:
            from engine.almanac import warmth_reached

            self._warm[base, season] = warmth_reached.occurrence(climate, base, season)
        return self._warm[base, season]

    def _sun(self, name: str, season: int) -> int:
        north = self.site.latitude >= 0
        which = {
            "longest day": "june" if north else "december",
            "shortest day": "december" if north else "june",
            "spring equinox": "march" if north else "september",
            "autumn equinox": "september" if north else "march",
        }[name]
        return turn(which, season, self.site.zone)

    def is_seen(self, base: MarkBase, value: int) -> bool:
        """Whether that ordinal is one on which the grower saw the mark."""
        return value in self._seen.get(base.name, ())


def _about(at: Callable[[int], int | None], ordinal: int) -> tuple[int, int, int | None] | None:
    """A season that has a value; the one whose value lies nearest to the day or beside that, and that value.

    None: none is near.
    """
    year = date.fromordinal(max(1, ordinal)).year
    for season in (year, year + 1, year - 1):
        if (value := at(season)) is not None:
            middle = season + round((ordinal - value) / _YEAR)
            return season, middle, value if middle == season else at(middle)
    return None


def nearest_season(at: Callable[[int], int | None], ordinal: int) -> int | None:
    """The season number whose value lies nearest to the day; the earlier one where two are as near."""
    about = _about(at, ordinal)
    if about is None:
        return None
    valued, middle, value = about
    if value is not None and abs(value - ordinal) <= _NEAREST:
        return middle
    near = [(abs(v - ordinal), k) for k in (middle - 1, middle, middle + 1) if (v := at(k)) is not None]
    return min(near)[1] if near else valued


def date_of(ordinal: int | None) -> date | None:
    """The date of an ordinal day; None where nothing bounds it."""
    return None if ordinal is None else date.fromordinal(ordinal)


def say_day(ordinal: int, year: bool = False) -> str:
    """`8 May`, or `8 May 27`."""
    day = date.fromordinal(ordinal)
    return f"{day.day} {MONTHS[day.month - 1]}" + (f" {day.year % 100:02}" if year else "")


def say_days(count: int) -> str:
    """`1 day`, `18 days`."""
    return f"{count} day" if count == 1 else f"{count} days"


def say_minutes(minutes: float) -> str:
    """`11 h 06`."""
    whole = round(minutes)
    return f"{whole // 60} h {whole % 60:02}"
