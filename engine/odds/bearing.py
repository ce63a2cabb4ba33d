"""Whether a planting's position carries a bearing plant by a day, with and without its understudies.

The odds start from what is known now: a plant that was seen alive has its losses behind it, one that bears need only
live, and one that has not borne yet may still come into bearing in what is left of its years.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import prod

from engine.odds.rates import Rate
from engine.reading.frozen import dataclass

OVERDUE = 2.0
"""A plant that is past its latest year and does not bear comes into bearing within so many years, or as many as its
range is wide (from memory)."""


@dataclass(frozen=True, slots=True)
class Planted:
    """A plant at a position: the day it is planted, the share that lives through a year, and its years to bearing.

    `bearing` is (soonest, latest) in years from planting: it starts to bear at any time between, each as likely.
    `first_year` is the share that lives through the first one where that differs. `seen` is the day on which it was
    last known to live, `barren` that on which it was last known to live without bearing; `bore` says that it has borne.
    Plants of one `kind` share their rates. Raises ValueError for a range that is none.
    """

    on: date
    yearly: Rate
    bearing: tuple[float, float]
    first_year: Rate | None = None
    seen: date | None = None
    barren: date | None = None
    bore: bool = False
    kind: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.bearing[0] <= self.bearing[1]:
            raise ValueError(f"from {self.bearing[0]:g} to {self.bearing[1]:g} years is not a range")

    def trials(self, day: date) -> tuple[float, float]:
        """How much of its first year, and how many later ones, it has to live through from what is known to a day."""
        age = age_on(self, day)
        known = min(age, max(0.0, age_on(self, self.seen))) if self.seen is not None else 0.0
        if self.first_year is None:
            return 0.0, age - known
        return min(age, 1.0) - min(known, 1.0), max(0.0, age - 1) - max(0.0, known - 1)


@dataclass(frozen=True, slots=True)
class Position:
    """The odds, 0 to 1, that a position carries a bearing plant on a day: its first choice alone, and any of them."""

    alone: float
    covered: float


def age_on(plant: Planted, day: date) -> float:
    """How old a plant is on a day, in years and months; below 0 before it is planted."""
    return years_between(plant.on, day)


def years_between(start: date, day: date) -> float:
    """Years and months from one day to another; below 0 where it comes before."""
    return ((day.year - start.year) * 12 + day.month - start.month - (day.day < start.day)) / 12


def alive(plant: Planted, day: date) -> float:
    """The chance that a plant lives on a day; 0 before it is planted. One site's years go together (Rate.over)."""
    if age_on(plant, day) < 0:
        return 0.0
    first, others = plant.trials(day)
    return plant.yearly.over(others) * (plant.first_year.over(first) if plant.first_year is not None else 1.0)


def come(plant: Planted, day: date) -> float:
    """The chance that a plant, if it lives, has come into bearing by a day."""
    if plant.bore:
        return 1.0
    by_now = _come(plant.bearing, age_on(plant, day))
    if plant.barren is None:
        return by_now
    before = _come(plant.bearing, age_on(plant, plant.barren))
    if before < 1:
        return max(0.0, by_now - before) / (1 - before)
    width = max(OVERDUE, plant.bearing[1] - plant.bearing[0])
    return min(1.0, max(0.0, years_between(plant.barren, day) / width))


def _come(bearing: tuple[float, float], age: float) -> float:
    soonest, latest = bearing
    if age < soonest or age < 0:
        return 0.0
    return 1.0 if age >= latest else (age - soonest) / (latest - soonest)


def bears(plant: Planted, day: date) -> float:
    """The chance that a plant lives on a day and has come into bearing by then."""
    return alive(plant, day) * come(plant, day) if age_on(plant, day) >= 0 else 0.0


def position(first: Planted, understudies: Sequence[Planted], day: date) -> Position:
    """The odds of a position: each plant there lives or dies for itself, so all fail together only by chance."""
    alone = bears(first, day)
    return Position(alone, 1 - (1 - alone) * prod(1 - bears(plant, day) for plant in understudies))
