"""Whether a planting's position carries a bearing plant by a year, with and without its understudies."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import prod

from engine.odds.rates import Rate
from engine.reading.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Planted:
    """A plant at a position: the day it is planted, the share that lives through a year, and its years to bearing.

    `bearing` is (soonest, latest) in years from planting: it starts to bear at any time between, each as likely.
    `first_year` is the share that lives through the first one where that differs. Raises ValueError for a range that
    is none.
    """

    on: date
    yearly: Rate
    bearing: tuple[float, float]
    first_year: Rate | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.bearing[0] <= self.bearing[1]:
            raise ValueError(f"from {self.bearing[0]:g} to {self.bearing[1]:g} years is no range")


@dataclass(frozen=True, slots=True)
class Position:
    """The odds, 0 to 1, that a position carries a bearing plant on a day: its first choice alone, and any of them."""

    alone: float
    covered: float


def age_on(plant: Planted, day: date) -> float:
    """How old a plant is on a day, in years and months; below 0 before it is planted."""
    return ((day.year - plant.on.year) * 12 + day.month - plant.on.month - (day.day < plant.on.day)) / 12


def alive(plant: Planted, day: date) -> float:
    """The chance that a plant lives on a day; 0 before it is planted. One site's years go together (Rate.over)."""
    age = age_on(plant, day)
    if age < 0:
        return 0.0
    if plant.first_year is None:
        return plant.yearly.over(age)
    return plant.first_year.over(min(age, 1)) * plant.yearly.over(max(0.0, age - 1))


def bears(plant: Planted, day: date) -> float:
    """The chance that a plant lives on a day and has come into bearing by then."""
    age = age_on(plant, day)
    soonest, latest = plant.bearing
    if age < soonest or age < 0:
        return 0.0
    come = 1.0 if age >= latest else (age - soonest) / (latest - soonest)
    return alive(plant, day) * come


def position(first: Planted, understudies: Sequence[Planted], day: date) -> Position:
    """The odds of a position: each plant there lives or dies for itself, so all fail together only by chance."""
    alone = bears(first, day)
    return Position(alone, 1 - (1 - alone) * prod(1 - bears(plant, day) for plant in understudies))
