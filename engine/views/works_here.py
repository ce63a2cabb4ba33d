"""What works here: how many lived and bore, by species, and by form planted, guard, light and what stood beside.

A share is told with its range of nine in ten: Wilson, E. B. 1927, Probable inference, the law of succession, and
statistical inference, Journal of the American Statistical Association 22, 209-212. Plants are counted one by one,
though a bad year takes many: the range is narrower than a grower's doubt should be. What was thinned is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from math import hypot, sqrt

from engine.farm.layout import Plant
from engine.farm.model import Farm
from engine.needs.planting_outlook import book_bearing, lived
from engine.reading.frozen import dataclass, replace
from engine.views.planting import PlantingView, PlantLine

TOO_FEW = 6
"""Of fewer plants nothing is said but how many there were (from memory)."""
NINE_IN_TEN = 1.6449
"""Standard deviations either way that hold nine in ten of a normal."""
NEAR_M = 6.0
"""So far off what stands nearest still counts as standing beside, in metres."""
OPEN, HALF = 0.5, 0.25
"""Shares of the longest day in direct sun from which a spot is open, or half open."""
BY = ("", "planted as", "guard", "light", "beside")
"""By what the plants of a species are told apart; first all of them."""


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many, with the range of nine in ten (0 to 1)."""

    of: int
    count: int

    @property
    def enough(self) -> bool:
        """Whether there are enough to say anything."""
        return self.of >= TOO_FEW

    @property
    def mean(self) -> float:
        """The share itself."""
        return self.count / self.of if self.of else 0.0

    @property
    def range(self) -> tuple[float, float]:
        """Wilson's score interval, nine in ten."""
        if not self.of:
            return 0.0, 1.0
        z2 = NINE_IN_TEN**2
        middle = (self.count + z2 / 2) / (self.of + z2)
        half = NINE_IN_TEN / (self.of + z2) * sqrt(self.count * (self.of - self.count) / self.of + z2 / 4)
        return max(0.0, middle - half), min(1.0, middle + half)


@dataclass(frozen=True, slots=True)
class Works:
    """The plants of a species, or those of them alike in one thing: how many lived, and how many of age bear."""

    species: str
    name: str
    by: str
    """One of BY."""
    value: str
    lived: Share
    bear: Share
    first: tuple[float, float] | None = None
    """Years from planting to the earliest first bearing, and to the latest."""


@dataclass(frozen=True, slots=True)
class _Fate:
    species: str
    traits: tuple[str, ...]
    """For each of BY but the first; "" where it is not known."""
    lived: bool
    of_age: bool
    bears: bool
    bore_after: float | None


def works_here(farm: Farm, views: Sequence[PlantingView], today: date) -> tuple[Works, ...]:
    """What all plantings tell, the species with the most plants first, each whole and then by what sets them apart."""
    fates: dict[str, list[_Fate]] = {}
    for view in views:
        for fate in _fates(farm, view, today):
            fates.setdefault(fate.species, []).append(fate)
    found = []
    for species, mine in sorted(fates.items(), key=lambda item: (-len(item[1]), item[0])):
        name = farm.species_of(species).name
        found.append(_told(species, name, "", "", mine))
        for n, by in enumerate(BY[1:]):
            groups: dict[str, list[_Fate]] = {}
            for fate in mine:
                if fate.traits[n]:
                    groups.setdefault(fate.traits[n], []).append(fate)
            if len(groups) > 1:  # all alike, nothing is compared
                found += [_told(species, name, by, value, groups[value]) for value in sorted(groups)]
    return tuple(found)


def _told(species: str, name: str, by: str, value: str, fates: Sequence[_Fate]) -> Works:
    of_age = [fate for fate in fates if fate.of_age]
    ages = [fate.bore_after for fate in fates if fate.bore_after is not None]
    return Works(
        species, name, by, value,
        Share(len(fates), sum(fate.lived for fate in fates)),
        Share(len(of_age), sum(fate.bears for fate in of_age)),
        (min(ages), max(ages)) if ages else None,
    )  # fmt: skip


def _fates(farm: Farm, view: PlantingView, today: date) -> Iterator[_Fate]:
    """Every plant whose first year is over, and those that stood there before it."""
    day_hours = max((h for h in view.light.hours(0) if h is not None), default=0.0)
    for line in view.lines:
        lives = (*line.life.earlier, replace(line.life, earlier=()))
        if all(lived(life) is None for life in lives):
            continue
        light, beside = _light(view, line, day_hours), _beside(farm, view, line.plant)
        for life in lives:
            told = lived(life)
            if told is None or life.planted is None or (not told.died and told.years < 1):
                continue
            guard = "" if life.guard is None else "on" if life.guard else "off"
            bore = life.bore
            years = None if bore is None else (bore - life.planted).days / 365.25
            book = book_bearing(farm, line.plant)
            age = (today - life.planted).days / 365.25
            yield _Fate(
                line.plant.species,
                (life.form or view.planting.form, guard, light, beside),
                not told.died,
                not told.died and (years is not None or (book is not None and age >= book[1])),
                life.state == "bearing",
                years,
            )


def _light(view: PlantingView, line: PlantLine, day_hours: float) -> str:
    hours = view.light.hours_at(line.k, view.age)
    if hours is None or not day_hours:
        return ""
    share = hours / day_hours
    return "open" if share >= OPEN else "half open" if share >= HALF else "shaded"


def _beside(farm: Farm, view: PlantingView, plant: Plant) -> str:
    """What stands nearest, of those planted; nothing is said where no spots are known."""
    if plant.at is None:
        return ""
    near = [
        (hypot(other.plant.at[0] - plant.at[0], other.plant.at[1] - plant.at[1]), other.plant.species)
        for other in view.lines
        if other.plant.at is not None and other.plant.id != plant.id and other.life.planted is not None
    ]
    distance, species = min(near, default=(NEAR_M + 1, ""))
    return farm.species_of(species).name if distance <= NEAR_M else "nothing near"
