"""A planting as its page and its sheet show it: each plant with its state, its light and its odds, and what now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from engine.farm.layout import Plant
from engine.farm.model import Farm
from engine.farm.planting import Planting
from engine.needs.planting_outlook import Grown, Post, Stands, odds_of, outlook_of, post_odds, posts_of
from engine.odds.bearing import Position
from engine.odds.positions_bearing import Outlook
from engine.protocols.habit import habit_of
from engine.reading.frozen import dataclass, field
from engine.records.plantings import Life
from engine.schedule.nursery import Nursery
from engine.views.light import AGES, Light, light_of

YEARS = 15
"""For so many years the odds are told, from next year or the one after planting."""


@dataclass(frozen=True, slots=True)
class PlantLine:
    """One plant of a planting: what is known of it, and its chances; `k` is its place in the light."""

    k: int
    plant: Plant
    name: str
    """What the grower calls it."""
    layer: str
    stands: Stands
    post: Post

    @property
    def life(self) -> Life:
        """What the journal knows of it."""
        return self.stands.life

    @property
    def state(self) -> str:
        """wanted, alive, bearing or dead."""
        return self.stands.life.state

    @property
    def leads(self) -> bool:
        """Whether it is what its place counts on now."""
        return self.post.lead is self.stands

    def bears(self, year: int) -> float | None:
        """The chance that it bears in a year; None where its years to bearing are not known."""
        return odds_of(self.stands, year)

    def covered(self, year: int) -> Position | None:
        """The chance that its place carries a bearing plant; None for an understudy, and where nothing is known."""
        return None if self.plant.beside else post_odds(self.post, year)


@dataclass(frozen=True, slots=True)
class PlantingView:
    """A planting on a day."""

    planting: Planting
    today: date
    lines: tuple[PlantLine, ...]
    posts: tuple[Post, ...]
    light: Light
    years: tuple[int, ...]
    """For which the odds are told."""
    _outlook: dict[tuple[int, ...], tuple[Outlook, ...]] = field(default_factory=dict)

    @property
    def age(self) -> int:
        """Years since it was planted; 0 before that."""
        return max(0, self.today.year - self.light.year)

    @property
    def planted(self) -> bool:
        """Whether anything of it stands, or has stood."""
        return any(line.life.planted is not None for line in self.lines)

    def outlook(self, years: Iterable[int] | None = None) -> tuple[Outlook, ...]:
        """How many of its places bear, by year."""
        asked = self.years if years is None else tuple(years)
        if asked not in self._outlook:
            self._outlook[asked] = outlook_of(self.posts, asked)
        return self._outlook[asked]

    def line(self, plant: str) -> PlantLine | None:
        """The line of that plant; None where there is none."""
        return next((line for line in self.lines if line.plant.id == plant), None)

    def counts(self) -> dict[str, int]:
        """How many plants are in each state."""
        found = dict.fromkeys(("bearing", "alive", "dead", "wanted"), 0)
        for line in self.lines:
            found[line.state] += 1
        return found


def planting_view(nursery: Nursery, planting: Planting, today: date, grown: Grown) -> PlantingView:
    """One planting on a day; its light is worked out only where it is asked for."""
    farm = nursery.farm
    lives: Mapping[str, Life] = nursery.records.plantings.get(planting.name, {})
    posts = posts_of(farm, planting, lives, grown, today)
    lines: list[PlantLine] = []
    for post in posts:
        for stands in (post.first, *post.others):
            lines.append(_line(farm, len(lines), stands, post))
    light = light_of(nursery, planting, [line.plant for line in lines], lives, today)
    first = max(light.year, today.year) + 1
    return PlantingView(planting, today, tuple(lines), posts, light, tuple(range(first, first + YEARS)))


def _line(farm: Farm, k: int, stands: Stands, post: Post) -> PlantLine:
    plant = stands.plant
    layer = plant.layer or habit_of(farm.species_of(plant.species)).layer
    return PlantLine(k, plant, farm.plant(plant.species, plant.cultivar), layer, stands, post)


def light_hours(view: PlantingView) -> dict[int, tuple[float | None, ...]]:
    """By age, the hours of direct sun on the longest day at each plant."""
    return {age: view.light.hours(age) for age in AGES}
