"""Care as standing work: what young plantings ask for, and what goes on with stock until it is sold or planted.

What is done, to what, in which years and when, is data: `engine/library/care.toml` and `growing_on.toml`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import Any

import tomli

from engine.almanac.phrases import parse_phrase
from engine.almanac.windows import Window
from engine.farm.layout import plants_of
from engine.farm.model import Farm, Standing
from engine.protocols import LIBRARY
from engine.protocols.forms import is_pot
from engine.protocols.habit import habit_of
from engine.reading.frozen import dataclass
from engine.records.records import Records
from engine.records.stock import Holding

PLANTING, STOCK = "care", "growing_on"
LONG = date.min
"""Since when what was there at the start stands: longer than anybody asks."""
YEAR = 365.25


@dataclass(frozen=True, slots=True)
class Care:
    """One thing that is done: to what, in which years since planting or potting, when, and how long a plant takes."""

    do: str
    layers: frozenset[str]
    """Of a planting, where any is named."""
    forms: frozenset[str]
    """Of stock, where any is named; `pot` is one of any size."""
    genera: frozenset[str]
    not_genera: frozenset[str]
    years: tuple[int, int]
    window: Window
    every_days: int
    once: bool
    minutes: float
    note: str
    source: str
    outdoors: bool = False
    """Whether only what stands in the open asks for it."""
    under_way: bool = False
    """Whether batches that still go through their steps ask for it too."""

    def is_for(self, plants: Plants, on: date) -> bool:
        """Whether plants ask for it on a day."""
        if plants.since > on or (plants.under_way and not self.under_way) or (plants.sheltered and self.outdoors):
            return False
        genus = plants.species.split(" ")[0]
        fits = (not self.layers or plants.layer in self.layers) and (not self.forms or plants.form in self.forms)
        if not fits or (self.genera and genus not in self.genera) or genus in self.not_genera:
            return False
        years = self.years[0] if plants.since == LONG else int((on - plants.since).days / YEAR)
        return self.years[0] <= years <= self.years[1]


@dataclass(frozen=True, slots=True)
class Plants:
    """So many plants alike that stand in one place since one day."""

    place: str
    species: str
    name: str
    layer: str
    form: str
    since: date
    count: int
    sheltered: bool = False
    """Whether they stand under cover."""
    under_way: bool = False
    """Whether their batch still goes through its steps."""


@lru_cache(maxsize=2)
def known_care(kind: str) -> tuple[Care, ...]:
    """What the library knows of care: PLANTING or STOCK."""
    tables = tomli.loads((LIBRARY / f"{kind}.toml").read_text(encoding="utf-8"))["care"]
    return tuple(_read(table) for table in tables)


def _read(table: Mapping[str, Any]) -> Care:
    opens, closes = (tuple(parse_phrase(text) for text in table.get(key, ())) for key in ("opens", "closes"))
    layers, forms, genera, not_genera = (
        frozenset(table.get(key, ())) for key in ("layers", "forms", "genera", "not_genera")
    )
    return Care(
        table["do"], layers, forms, genera, not_genera, (table["years"][0], table["years"][1]), Window(opens, closes),
        table.get("every_days", 1), "every_days" not in table, table["minutes"], table["note"], table["source"],
        table.get("outdoors", False), table.get("under_way", False),
    )  # fmt: skip


def planted_out(farm: Farm, records: Records) -> tuple[Plants, ...]:
    """What stands alive in the plantings, alike plants together."""
    found: dict[tuple[str, str, str, str, date], int] = {}
    for planting in farm.plantings:
        lives = records.plantings.get(planting.name, {})
        for plant in plants_of(planting) if lives else ():
            life = lives.get(plant.id)
            if life is not None and life.planted is not None and life.state != "dead":
                layer = plant.layer or habit_of(farm.species_of(plant.species)).layer
                key = (planting.name, plant.species, plant.cultivar, layer, life.planted)
                found[key] = found.get(key, 0) + 1
    return tuple(
        Plants(place, species, farm.plant(species, cultivar), layer, "", planted, count)
        for (place, species, cultivar, layer, planted), count in found.items()
    )


Stands = dict[int, tuple[Holding, date, bool, bool, Plants]]
"""What each holding of the stock was found to stand as, by its identity; and what that rests on besides the farm."""


def standing_stock(farm: Farm, records: Records, stands: Stands | None = None) -> tuple[Plants, ...]:
    """What stands in pots, in rows and in beds, ready or under way; what is going and not counted yet is left out.

    What was found of the same farm before is taken over from `stands`, which then holds what is found now.
    """
    stock = records.stock
    lots = {lot.id: lot for lot in records.lots}
    before, now = stands or {}, Stands()
    for held in stock.holdings:
        if held.going or held.name.unit:
            continue
        key = (held.lot, held.form, held.grade, held.place)
        lot = lots.get(held.lot) if stock.current.get(held.lot) == key else None
        under_way = lot is not None and any(step.do not in lot.done for step in lot.batch.protocol.steps)
        rests_on = (held, stock.since.get(key, LONG), under_way, held.name.species in farm.species)
        found = before.get(id(held))
        now[id(held)] = found if found and found[:4] == rests_on else (*rests_on, _stands(farm, *rests_on[:3]))
    if stands is not None:
        stands.clear()
        stands.update(now)
    return tuple(found[-1] for found in now.values())


def _stands(farm: Farm, held: Holding, since: date, under_way: bool) -> Plants:
    """What a holding stands as."""
    name = farm.plant(held.name.species, held.name.cultivar)
    form = "pot" if is_pot(held.form) else held.form
    layer = habit_of(farm.species_of(held.name.species)).layer
    return Plants(
        farm.place_for(held.place), held.name.species, f"{name} ({held.lot})", layer, form, since, held.count,
        farm.under_cover(held.place), under_way,
    )  # fmt: skip


def care_work(plants: Sequence[Plants], kind: str, on: date) -> Iterator[Standing]:
    """The care that plants ask for on a day, as standing work: one for each thing that is done in each place."""
    for care in known_care(kind):
        by_place: dict[str, list[Plants]] = {}
        for each in plants:
            if care.is_for(each, on):
                by_place.setdefault(each.place, []).append(each)
        for place, mine in by_place.items():
            counts: dict[str, int] = {}
            for each in mine:
                counts[each.name] = counts.get(each.name, 0) + each.count
            total = sum(counts.values())
            yield Standing(
                care.do, place, care.window, care.every_days, total * care.minutes, care.once,
                plants=total, of=tuple(f"{count} {name}" for name, count in counts.items()), note=care.note,
            )  # fmt: skip
