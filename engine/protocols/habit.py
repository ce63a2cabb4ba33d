"""How a species grows and what light it asks for: from its own figures, else by its form (common practice)."""

from __future__ import annotations

from math import exp

from engine.protocols.model import LAYERS, LIGHTS, Species
from engine.reading.frozen import dataclass

HOURS_WANTED = dict(zip(LIGHTS, (6.0, 3.0, 1.0), strict=True))
"""Hours of direct sun on a mean day of the growing season that each asks for (common practice: full sun is six hours
and more, half shade three to six)."""

# By form, as a grower reckons it (common practice, the figures from memory): height and spread when full grown, in
# metres; years until then; the share of the height below the boughs; the light it asks for; the layer it stands in.
_BY_FORM: dict[str, tuple[float, float, float, float, str, str]] = {
    "tree": (12.0, 8.0, 30.0, 0.25, "sun", "tall"),
    "small tree": (5.0, 4.0, 15.0, 0.2, "sun", "middle"),
    "large shrub": (4.0, 3.0, 10.0, 0.0, "half", "shrub"),
    "shrub": (1.8, 1.8, 6.0, 0.0, "half", "shrub"),
    "low shrub": (0.6, 0.8, 4.0, 0.0, "half", "ground"),
    "cane": (1.8, 1.0, 3.0, 0.0, "half", "shrub"),
    "vine": (3.0, 2.0, 5.0, 0.0, "sun", "climber"),
    "perennial": (1.0, 0.8, 3.0, 0.0, "half", "herb"),
    "herb": (0.5, 0.5, 2.0, 0.0, "half", "herb"),
}
_PLAIN = "shrub"
_LEAST = 0.05
_WHIP = 0.5
"""Metres that a woody plant stands high when it is set out (common practice)."""


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


def habit_of(species: Species) -> Habit:
    """The habit of a species. A height that it does not say is in proportion to its spread, as its form has it."""
    height, spread, years, trunk, light, layer = _BY_FORM.get(species.form, _BY_FORM[_PLAIN])
    told = species.height_m
    wide = max(0.0, sum(species.spread_m) / 2) if species.spread_m else 0.0
    tall = max(_LEAST, sum(told) / 2) if told else height * (wide / spread if wide else 1.0)
    wide = wide or spread * tall / height
    grown = species.grown_years or years
    return Habit(tall, wide, grown, trunk, species.light or light, layer, species.evergreen, told is None)
