"""The year of the plants kept to cut from: cut back, rogued and checked, verified at fruiting (common practice)."""

from __future__ import annotations

from collections.abc import Iterable

from engine.almanac.phrases import parse_phrase
from engine.almanac.windows import Window
from engine.farm.model import Standing
from engine.farm.stock import StockPlant

# What is done, from when, until when, and minutes a plant (from memory). Hard cutting back in late winter is what
# makes the next season's wood; plants kept for seed are left to flower.
YEAR = (
    ("cut back", "bud swell - 8 weeks", "bud swell - 1 week", 3.0),
    ("rogue and check", "longest day - 2 weeks", "longest day + 4 weeks", 1.0),
    ("verify at fruiting", "longest day + 4 weeks", "day length falls to 12 h", 1.0),
)
NOT_CUT = ("seed", "divisions")


def year_of(plants: Iterable[StockPlant]) -> tuple[Standing, ...]:
    """The work that stock plants ask for each year, once in its season."""
    return tuple(
        Standing(
            f"{do} {plant.id}",
            plant.place,
            Window((parse_phrase(opens),), (parse_phrase(closes),)),
            366,
            minutes * plant.count,
            once=True,
        )
        for plant in plants
        for do, opens, closes, minutes in YEAR
        if not (do == "cut back" and plant.material in NOT_CUT)
    )
