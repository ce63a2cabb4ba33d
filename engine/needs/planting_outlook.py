"""What the walks taught, and the odds by year of what stands in a planting, or is to stand there.

Survival of the first year and of each later one is learned by species, and form planted, from cohorts: what was planted
of one kind in one planting in one year is one look, as a batch is (engine/odds/rates.py). A year counts from
its half on: what is walked in its first summer has had its first year. A death counts in the year in which it was
found, what was thinned in none. Odds are those at a year's end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from math import floor

from engine.farm.layout import Plant, plants_of
from engine.farm.model import Farm
from engine.farm.planting import Planting
from engine.odds.bearing import Planted, Position, bears, position, years_between
from engine.odds.positions_bearing import Outlook, outlook
from engine.odds.ranges import usual_range
from engine.odds.rates import Learned, Rate, Went, book_rate, learn
from engine.odds.years_to_bearing import Came, learned_bearing
from engine.protocols.forms import SEED
from engine.reading.frozen import dataclass, field, replace
from engine.records.plantings import THINNED, Life
from engine.records.records import Records

WITHIN = 0.1
"""How far from the book's survival nine plantings of ten come out (from memory)."""
NO_LIFE = Life()
Kind = tuple[str, str]
"""A species, and the form planted."""


@dataclass(frozen=True, slots=True)
class Lived:
    """A life as the walks tell it: whole years lived through, and whether it died in the one after them."""

    years: int
    died: bool


def lived(life: Life) -> Lived | None:
    """What a life says of survival; None where nothing was seen of it since it was planted."""
    if life.planted is None or not life.seen:
        return None
    last = life.seen[-1]
    if last.state == "dead" and last.cause != THINNED:
        return Lived(max(0, _years(life.planted, last.day) - 1), True)
    known = [each.day for each in life.seen if each.state != "dead"]
    return Lived(_years(life.planted, max(known)), False) if known else None


def _years(planted: date, day: date) -> int:
    return max(0, floor(years_between(planted, day) + 0.5))


@dataclass(frozen=True, slots=True)
class Grown:
    """The grower's own plantings: by kind, a cohort at a time, first years, later years, and years to bearing."""

    first: Mapping[Kind, tuple[Went, ...]] = field(default_factory=dict)
    later: Mapping[Kind, tuple[Went, ...]] = field(default_factory=dict)
    came: Mapping[tuple[str, bool], tuple[Came, ...]] = field(default_factory=dict)
    """By species, and whether it is a cultivar: those are not raised from seed."""
    _learned: dict[tuple[bool, Kind, float], Learned] = field(default_factory=dict)
    _bearing: dict[tuple[str, bool, tuple[float, float]], tuple[float, float]] = field(default_factory=dict)

    def survival(self, species: str, form: str, mean: float, first: bool) -> Learned:
        """The share that lives through a year, the first or a later one: the book's, the genus's, the species's own."""
        key = (first, (species, form), mean)
        if key not in self._learned:
            levels: tuple[list[Went], list[Went], list[Went]] = ([], [], [])
            for (other, planted_as), went in (self.first if first else self.later).items():
                if other == species:
                    levels[2 if planted_as == form or not form else 1].extend(went)
                elif other.split()[:1] == species.split()[:1]:
                    levels[0].extend(went)
            book = book_rate(mean, usual_range(mean, WITHIN))
            self._learned[key] = learn(book, levels)
        return self._learned[key]

    def bearing(self, species: str, cultivar: bool, book: tuple[float, float]) -> tuple[float, float]:
        """Years to bearing: the book's range, drawn out or in by what came."""
        key = (species, cultivar, book)
        if key not in self._bearing:
            self._bearing[key] = learned_bearing(book, self.came.get((species, cultivar), ()))
        return self._bearing[key]


def grown_of(farm: Farm, records: Records) -> Grown:
    """What the walks of all plantings tell."""
    first: dict[tuple[str, str, str, int], list[Lived]] = {}
    came: dict[tuple[str, str, bool, int], list[tuple[float, float | None]]] = {}
    for planting in farm.plantings:
        lives = records.plantings.get(planting.name)
        for plant in plants_of(planting) if lives else ():
            life = (lives or {}).get(plant.id, NO_LIFE)
            for each in (*life.earlier, life):
                told = lived(each)
                if told is None or each.planted is None:
                    continue
                form = each.form or planting.form
                first.setdefault((planting.name, plant.species, form, each.planted.year), []).append(told)
                if (ages := _ages(each)) is not None:
                    key = (planting.name, plant.species, bool(plant.cultivar), each.planted.year)
                    came.setdefault(key, []).append(ages)
    once: dict[Kind, list[Went]] = {}
    later: dict[Kind, list[Went]] = {}
    for (_, species, form, _), cohort in first.items():
        into = [each for each in cohort if each.died or each.years >= 1]
        if into:
            once.setdefault((species, form), []).append(Went(sum(each.years >= 1 for each in into), len(into)))
        through = sum(max(0, each.years - 1) for each in cohort)
        tries = through + sum(each.died and each.years >= 1 for each in cohort)
        if tries:
            later.setdefault((species, form), []).append(Went(through, tries))
    cohorts: dict[tuple[str, bool], list[Came]] = {}
    for (_, species, cultivar, _), ages_of in came.items():
        cohorts.setdefault((species, cultivar), []).append(Came(tuple(ages_of)))
    return Grown(
        {kind: tuple(went) for kind, went in once.items()},
        {kind: tuple(went) for kind, went in later.items()},
        {kind: tuple(found) for kind, found in cohorts.items()},
    )


def _ages(life: Life) -> tuple[float, float | None] | None:
    """At what age a plant was last seen not to bear, and first seen bearing (None: not yet); None: neither was seen."""
    assert life.planted is not None
    bore = life.bore
    before = [e.day for e in life.seen if e.state == "alive" and (bore is None or e.day < bore)]
    not_yet = years_between(life.planted, max(before)) if before else 0.0
    if bore is not None:
        return max(0.0, not_yet), years_between(life.planted, bore)
    return (not_yet, None) if before else None


# -- the odds of what stands


@dataclass(frozen=True, slots=True)
class Stands:
    """A plant of a planting on a day: its life, and what its odds rest on.

    `odds` is None where it is dead, or its years to bearing or its planting day are not known (`known` tells which).
    `first` and `later` are the shares that live through a year.
    """

    plant: Plant
    life: Life
    odds: Planted | None
    known: bool
    first: Learned
    later: Learned


@dataclass(frozen=True, slots=True)
class Post:
    """A place for one plant that is wanted: what leads there now, and the others that may stand in for it."""

    first: Stands
    others: tuple[Stands, ...]

    @property
    def lead(self) -> Stands:
        """The understudy that has taken the place, where one has; else the first choice."""
        return next((each for each in self.others if each.life.leads and each.life.state != "dead"), self.first)

    @property
    def chances(self) -> tuple[Planted | None, tuple[Planted, ...]]:
        """What may bear there: the one that leads, and the others."""
        lead = self.lead
        rest = (each for each in (self.first, *self.others) if each is not lead)
        return lead.odds, tuple(each.odds for each in rest if each.odds is not None)


def posts_of(farm: Farm, planting: Planting, lives: Mapping[str, Life], grown: Grown, today: date) -> tuple[Post, ...]:
    """Every place of a planting, as what stands there, or is wanted, has its odds from a day on."""
    found: list[Post] = []
    first: Stands | None = None
    others: list[Stands] = []
    made: dict[tuple[object, ...], Stands] = {}
    for plant in (*plants_of(planting), None):
        if plant is None or not plant.beside:
            if first is not None:
                found.append(Post(first, tuple(others)))
            others = []
        if plant is not None:
            life = lives.get(plant.id, NO_LIFE)
            key = (plant.position, plant.species, plant.cultivar, plant.beside == "", life)
            like = made.get(key)
            here = replace(like, plant=plant) if like else _stands(farm, planting, plant, life, grown, today)
            made[key] = here
            if plant.beside:
                others.append(here)
            else:
                first = here
    return tuple(found)


def _stands(farm: Farm, planting: Planting, plant: Plant, life: Life, grown: Grown, today: date) -> Stands:
    book = book_bearing(farm, plant)
    form = life.form or planting.form
    own = plant.position.yearly_survival if not plant.beside else None
    yearly = planting.yearly_survival if own is None else own
    first = grown.survival(plant.species, form, planting.first_year_survival, True)
    later = grown.survival(plant.species, form, yearly, False)
    dated = life.planted is not None or planting.by is not None  # a table whose day cannot be read has none
    if book is None or life.state == "dead" or not dated:
        known = book is not None and (dated or life.state == "dead")
        return Stands(plant, life, None, known, first, later)
    last = life.last
    planted = life.planted or max(planting.by or today, today)
    barren = [each.day for each in life.seen if each.state == "alive"]
    odds = Planted(
        planted,
        _taken(later),
        grown.bearing(plant.species, bool(plant.cultivar), book),
        _taken(first),
        seen=last,
        barren=max(barren) if barren and life.bore is None else None,
        bore=life.bore is not None,
        kind=f"{plant.species} {form} {yearly:g}",
    )
    return Stands(plant, life, odds, True, first, later)


def _taken(learned: Learned) -> Rate:
    """The rate that odds rest on: what was told of it stands as it is until a walk says otherwise."""
    return learned.rate if learned.batches or learned.kindred else Rate(learned.book)


def book_bearing(farm: Farm, plant: Plant) -> tuple[float, float] | None:
    """Years to bearing from the farm file or the library: as it was raised; where that is not known, the slower.

    A named cultivar is not raised from seed, but for one that the farm sows and raises in no other way.
    """
    if not plant.beside and plant.position.bearing_years:
        return plant.position.bearing_years
    known = farm.species_of(plant.species).bearing_years
    how = plant.raised
    if plant.cultivar and not how:
        raised = [b.protocol for b in farm.batches if (b.species, b.cultivar) == (plant.species, plant.cultivar)]
        how = "seed" if raised and all(protocol.takes == SEED for protocol in raised) else "vegetative"
    return known.get(how) or max(known.values(), key=lambda years: years[1], default=None)


def odds_of(stands: Stands, year: int) -> float | None:
    """The chance that a plant bears in a year; None where its years to bearing, or its planting day, are not known."""
    if not stands.known:
        return None
    return 0.0 if stands.odds is None else bears(stands.odds, date(year, 12, 31))


def post_odds(post: Post, year: int) -> Position | None:
    """The odds of a place; None where its first choice has no figures. An understudy without is taken not to bear."""
    if not post.lead.known:
        return None
    (lead, others), day = post.chances, date(year, 12, 31)
    if lead is None:
        nothing = [Position(0.0, 0.0)] if not others else [position(others[0], others[1:], day)]
        return Position(0.0, nothing[0].covered)
    return position(lead, others, day)


def outlook_of(posts: Sequence[Post], years: Sequence[int]) -> tuple[Outlook, ...]:
    """How many of the places that are to bear do so, by year."""
    posts = [post for post in posts if post.first.plant.purpose == "crop" and post.lead.known]
    stands = (each for post in posts for each in (post.first, *post.others))
    rates = {each.odds.kind: (each.first.rate, each.later.rate) for each in stands if each.odds is not None}
    chances = [post.chances for post in posts]
    return tuple(outlook(chances, year, rates) for year in years)


def years_shown(planting: Planting, today: date, after: Sequence[int]) -> tuple[int, ...]:
    """The years whose odds are told: so many after planting, or after today where that is past."""
    return tuple(max(planting.by.year, today.year) + n for n in after) if planting.by else ()
