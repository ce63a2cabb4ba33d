"""Whether a planting's position carries a bearing plant by a year, with and without its understudies."""

from __future__ import annotations

from collections.abc import Sequence
from math import prod

from engine.odds.rates import Rate
from engine.reading.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Planted:
    """A plant at a position: the year it is planted, the share that lives through a year, and its years to bearing.

    `bearing` is (soonest, latest) in years from planting: it starts to bear at any time between, each as likely.
    `first_year` is the share that lives through the first one where that differs. Raises ValueError for a range that
    is none.
    """

    year: int
    yearly: Rate
    bearing: tuple[float, float]
    first_year: Rate | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.bearing[0] <= self.bearing[1]:
            raise ValueError(f"from {self.bearing[0]:g} to {self.bearing[1]:g} years is no range")


@dataclass(frozen=True, slots=True)
class Position:
    """The odds, 0 to 1, that a position carries a bearing plant in a year: its first choice alone, and any of them."""

    alone: float
    covered: float


def alive(plant: Planted, year: int) -> float:
    """The chance that a plant lives in a year; 0 before it is planted. One site's years go together (Rate.over)."""
    age = year - plant.year
    if age < 0:
        return 0.0
    if plant.first_year is None or age == 0:
        return plant.yearly.over(age)
    return plant.first_year.mean * plant.yearly.over(age - 1)


def bears(plant: Planted, year: int) -> float:
    """The chance that a plant lives in a year and has come into bearing by then."""
    age = year - plant.year
    soonest, latest = plant.bearing
    if age < soonest:
        return 0.0
    come = 1.0 if age >= latest else (age - soonest) / (latest - soonest)
    return alive(plant, year) * come


def position(first: Planted, understudies: Sequence[Planted], year: int) -> Position:
    """The odds of a position: each plant there lives or dies for itself, so all fail together only by chance."""
    alone = bears(first, year)
    return Position(alone, 1 - (1 - alone) * prod(1 - bears(plant, year) for plant in understudies))
