"""The year of the plants kept to cut from: cut back, rogued and checked, verified at fruiting.

What is done, when, how long a plant takes and what it is not for is data: `engine/library/stock_year.toml`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any

import tomli

from engine.almanac.phrases import parse_phrase
from engine.almanac.windows import Window
from engine.farm.model import Standing
from engine.farm.stock import StockPlant
from engine.protocols import LIBRARY


@lru_cache(maxsize=1)
def _works() -> Sequence[Mapping[str, Any]]:
    works: list[Mapping[str, Any]] = tomli.loads((LIBRARY / "stock_year.toml").read_text(encoding="utf-8"))["work"]
    return works


def year_of(plants: Iterable[StockPlant]) -> tuple[Standing, ...]:
    """The work that stock plants ask for each year, once in its season."""
    return tuple(
        Standing(
            f"{work['do']} {plant.id}",
            plant.place,
            Window((parse_phrase(work["opens"]),), (parse_phrase(work["closes"]),)),
            366,
            work["minutes"] * plant.count,
            once=True,
        )
        for plant in plants
        for work in _works()
        if plant.material not in work.get("not_for", ())
    )
