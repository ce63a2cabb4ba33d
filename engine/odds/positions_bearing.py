"""How many positions of a planting bear in a year: what is expected, and the range that nine years of ten keep to.

Plants of one kind share a rate that is not known exactly, so a planting fares well or ill together: the spread of the
count is that of single chances and what such plants have in common, to the first order. The range is that of the
beta-binomial with the same mean and spread, of a normal where single chances differ so that there is none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from math import ceil, floor

from engine.odds.bearing import Planted, bears, come
from engine.odds.likely_range import likely_range
from engine.odds.ranges import MOST_WEIGHT
from engine.odds.rates import Rate
from engine.reading.frozen import dataclass

Tries = tuple[float, float]
"""How much of its first year and how many later ones a plant has still to live through."""
Pulls = dict[str, dict[Tries, float]]
"""By kind and tries, how much the count moves as such plants live more or less."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """The end of a year of a planting: places expected to bear, by first choices alone and with understudies."""

    year: int
    alone: float
    covered: float
    low: int
    high: int


NINE_OF_TEN_REACH = 1.645
"""Standard deviations to either side between which nine of ten normal draws lie."""
Rates = tuple[Rate, Rate]
"""Of the first year and of each later one, with how far they are not known."""


def outlook(
    positions: Sequence[tuple[Planted | None, Sequence[Planted]]], year: int, rates: Mapping[str, Rates]
) -> Outlook:
    """The year's outlook; of each position its first choice (None: none is left there) and its understudies.

    `rates` are those of each kind of plant; a kind that is not among them has nothing in common.
    """
    day = date(year, 12, 31)
    alone = covered = variance = 0.0
    may = 0
    pulls: Pulls = {}
    own: list[Pulls] = []
    for first, others in positions:
        plants = [plant for plant in (first, *others) if plant is not None and day >= plant.on]
        odds = [bears(plant, day) for plant in plants]
        fails = 1.0
        for each in odds:
            fails *= 1 - each
        alone += bears(first, day) if first is not None else 0.0
        covered += 1 - fails
        may += fails < 1
        variance += fails * (1 - fails)
        mine: Pulls = {}
        for plant, each in zip(plants, odds, strict=True):
            rest = fails / (1 - each) if each < 1 else _without(odds, each)
            pull = rest * come(plant, day)
            for where in (mine, pulls):
                at = where.setdefault(plant.kind, {})
                tries = plant.trials(day)
                at[tries] = at.get(tries, 0.0) + pull
        own.append(mine)
    variance += _together(pulls, rates) - sum(_together(mine, rates) for mine in own)
    low, high = _range(may, covered, variance)
    return Outlook(year, alone, covered, low, high)


def _without(odds: Sequence[float], sure: float) -> float:
    """The chance that all fail but one that is sure."""
    left, found = list(odds), 1.0
    left.remove(sure)
    for each in left:
        found *= 1 - each
    return found


def _together(pulls: Pulls, rates: Mapping[str, Rates]) -> float:
    """What plants of a kind have in common, as variance of the count."""
    total = 0.0
    for kind, at in pulls.items():
        if kind not in rates:
            continue
        first, yearly = rates[kind]
        lives = {
            tries: first.over(tries[0]) * yearly.over(tries[1])
            for tries in {*at, *((a[0] + b[0], a[1] + b[1]) for a in at for b in at)}
        }
        for one, pull in at.items():
            for two, other in at.items():
                total += pull * other * (lives[one[0] + two[0], one[1] + two[1]] - lives[one] * lives[two])
    return total


def _range(count: int, mean: float, variance: float) -> tuple[int, int]:
    """Between which counts nine years of ten come out, of so many places that may bear."""
    share = mean / count if count else 0.0
    if not 0 < share < 1 or variance <= 0:
        return round(mean), round(mean)
    over = (variance / (count * share * (1 - share)) - 1) / max(1, count - 1)
    if over > 1 / MOST_WEIGHT:
        return likely_range(count, share, max(0.01, 1 / over - 1))
    reach = NINE_OF_TEN_REACH * variance**0.5  # places differ so much that the count varies less than a binomial does
    return max(0, ceil(mean - reach - 0.5)), min(count, floor(mean + reach + 0.5))
