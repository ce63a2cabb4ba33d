"""How a species grows and what light it asks for: from its own figures, else by its form (common practice)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import exp
from typing import Any

import tomli

from engine.protocols import LIBRARY
from engine.protocols.model import LAYERS, LIGHTS, Species
from engine.reading.frozen import dataclass

HOURS_WANTED = dict(zip(LIGHTS, (6.0, 3.0, 1.0), strict=True))
"""Hours of direct sun on a mean day of the growing season that each asks for (common practice: full sun is six hours
and more, half shade three to six)."""

_LEAST = 0.05
_WHIP = 0.5
"""Metres that a woody plant stands high when it is set out (common practice)."""


_PLAIN = "shrub"
"""The form of a species that names none."""

__all__ = ["HOURS_WANTED", "LAYERS", "LIGHTS", "Habit", "habit_of"]


@dataclass(frozen=True, slots=True)
class Habit:
    """Height and spread when full grown, in metres; the years until then; the share of the height below the boughs."""

    height: float
    spread: float
    years: float
    trunk: float
    light: str
    """One of LIGHTS."""
    layer: str
    """One of LAYERS, where a planting does not say."""
    evergreen: bool
    by_form: bool
    """Whether its height is reckoned from its form, because the species says none."""

    @property
    def hours_wanted(self) -> float:
        """Hours of direct sun that it asks for, on a mean day of the growing season."""
        return HOURS_WANTED[self.light]

    def size(self, age: float) -> tuple[float, float]:
        """Height and spread at so many years from planting, in metres: fast at first, 95 % of full size at `years`."""
        grown = 1 - exp(-3 * max(0.0, age) / self.years)
        start = min(_WHIP, self.height / 2) / self.height
        return self.height * (start + (1 - start) * grown), self.spread * (0.1 + 0.9 * grown)


@lru_cache(maxsize=1)
def _by_form() -> Mapping[str, Any]:
    return tomli.loads((LIBRARY / "habits.toml").read_text(encoding="utf-8"))


def habit_of(species: Species) -> Habit:
    """The habit of a species. A height that it does not say is in proportion to its spread, as its form has it."""
    habits = _by_form()
    usual = habits.get(species.form) or habits[_PLAIN]
    height, spread = usual["height_m"], usual["spread_m"]
    told = species.height_m
    wide = max(0.0, sum(species.spread_m) / 2) if species.spread_m else 0.0
    tall = max(_LEAST, sum(told) / 2) if told else height * (wide / spread if wide else 1.0)
    wide = wide or spread * tall / height
    grown, light = species.grown_years or usual["years"], species.light or usual["light"]
    return Habit(tall, wide, grown, usual["trunk"], light, usual["layer"], species.evergreen, told is None)
