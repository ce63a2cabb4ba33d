"""A planting plant by plant: each with its id, and the spot where its row, or its position, puts it."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from math import cos, radians, sin

from engine.farm.planting import Planting, PlantingPosition, Understudy
from engine.reading.frozen import dataclass

Spot = tuple[float, float]
"""Metres east and north of the planting's corner."""


@dataclass(frozen=True, slots=True)
class Plant:
    """One plant of a design: a first choice, or an understudy of the one that `beside` names."""

    id: str
    species: str
    cultivar: str
    position: PlantingPosition
    layer: str
    purpose: str
    need: str
    """The id of the planting's need that asks for it."""
    at: Spot | None = None
    beside: str = ""

    @property
    def planted(self) -> date | None:
        """When it was planted, where the farm file says so."""
        return self.position.planted

    @property
    def raised(self) -> str:
        """How it was raised, where the farm file says it of a first choice."""
        return "" if self.beside else self.position.raised


@lru_cache(maxsize=256)
def plants_of(planting: Planting) -> tuple[Plant, ...]:
    """Every plant of a planting, each first choice with its understudies after it.

    A position that has no id is P1, P2 …; the plants of a row are P1.1, P1.2 …; the understudies of P1 are P1a, P1b …
    """
    needs = _needs(planting)
    found: list[Plant] = []
    for n, here in enumerate(planting.positions, 1):
        name = here.id or f"P{n}"
        for k in range(here.count):
            own = name if here.count == 1 else f"{name}.{k + 1}"
            need = needs[here.species, here.cultivar]
            first = Plant(
                own, here.species, here.cultivar, here, here.layer, here.purpose, need, _along(here, here.at_m, k)
            )
            found.append(first)
            found += _understudies(here, first, k, needs)
    return tuple(found)


def _needs(planting: Planting) -> dict[tuple[str, str], str]:
    """The need that asks for each kind of plant, numbered as `Planting.needs` does."""
    kinds = dict.fromkeys((here.species, here.cultivar) for here in planting.positions)
    kinds |= dict.fromkeys((u.species, u.cultivar) for here in planting.positions for u in here.understudies)
    return {kind: planting.need_id(n) for n, kind in enumerate(kinds, 1)}


def _understudies(here: PlantingPosition, first: Plant, k: int, needs: dict[tuple[str, str], str]) -> list[Plant]:
    found: list[Plant] = []
    for other in here.understudies:
        for n in range(other.count):
            name = f"{first.id}{_letters(len(found))}"
            if other.id:
                tail = [str(part + 1) for part, of in ((k, here.count), (n, other.count)) if of > 1]
                name = ".".join((other.id, *tail))
            found.append(
                Plant(
                    name, other.species, other.cultivar, here, other.layer, other.purpose,
                    needs[other.species, other.cultivar], _beside(here, other, k, n), first.id,
                )
            )  # fmt: skip
    return found


def _along(here: PlantingPosition, start: Spot | None, k: int) -> Spot | None:
    """The k-th spot of a row from 0, or of what stands beside its plants."""
    if start is None or (k and here.spacing_m is None):
        return None
    if k == 0:
        return start
    way, step = radians(here.bearing_deg), k * (here.spacing_m or 0.0)
    return round(start[0] + step * sin(way), 3), round(start[1] + step * cos(way), 3)


def _beside(here: PlantingPosition, other: Understudy, k: int, n: int) -> Spot | None:
    """Where the n-th of like understudies stands: they share the ring round their first choice evenly."""
    if other.at_m is None or here.at_m is None:
        return None
    if n == 0:
        return _along(here, other.at_m, k)
    east, north = other.at_m[0] - here.at_m[0], other.at_m[1] - here.at_m[1]
    turn = radians(360 * n / other.count)
    start = (
        here.at_m[0] + east * cos(turn) + north * sin(turn),
        here.at_m[1] + north * cos(turn) - east * sin(turn),
    )
    return _along(here, start, k)


def _letters(n: int) -> str:
    """The letters of the n-th from 0: a to z, then aa, ab and so on."""
    return (_letters(n // 26 - 1) if n >= 26 else "") + chr(ord("a") + n % 26)
