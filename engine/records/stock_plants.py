"""Stock plants that the journal adds to the farm's own, and those that are grubbed out.

The kinds of entries and their data:

    stock_plant  plant (its id), species, cultivar, place, count, planted (a year), material; yields: what one gives a
                 year, by its age in years, as [[age, number], …]
    grub_out     plant, reason: they are cut from no longer; also those of the farm file
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import Any

from engine.farm.model import Farm
from engine.farm.protocols import species_named
from engine.farm.stock import StockPlant
from engine.journal.entry import Entry
from engine.protocols.forms import MATERIALS
from engine.protocols.model import Species
from engine.reading.frozen import replace
from engine.reading.limits import FIRST_PLANTED, LAST_PLANTED, MOST_PLANTS
from engine.records.makers import Makers
from engine.records.strays import stray
from engine.records.values import Unfit, count_in, number, text_in

PLACE = "stock beds"


def with_stock_plants(farm: Farm, entries: Iterable[Entry], strays: list[str], makers: Makers) -> Farm:
    """The farm with its stock plants as these entries leave them; what makes or ends none is told in `strays`."""
    entries = tuple(entries)
    plants, gone = list(farm.stock_plants), dict[str, date]()
    new: dict[str, Species] = {}
    for entry in entries:
        if entry.kind == "stock_plant":
            try:
                plants.append(stock_plant_of(farm, entry.data, {plant.id for plant in plants}, new))
                makers.made("plant", plants[-1].id, entry, plants[-1].id)
            except Unfit as reason:
                makers.made("plant", text_in(entry.data, "plant"), entry, "")
                strays.append(_stray(entry, str(reason)))
    for entry in entries:
        name = text_in(entry.data, "plant")
        if entry.kind == "stock_plant":
            continue
        if fault := makers.meant(entry)[1]:
            strays.append(_stray(entry, fault))
        elif name in gone:
            strays.append(_stray(entry, f"they were grubbed out on {gone[name]}"))
        elif any(plant.id == name for plant in plants):
            gone[name] = entry.on
        else:
            strays.append(_stray(entry, "there are no stock plants with that id"))
    kept = tuple(plant for plant in plants if plant.id not in gone)
    if kept == farm.stock_plants:
        return farm
    species = {**farm.species, **new} if new else farm.species
    return replace(farm, stock_plants=kept, species=species, base=farm.written)


def stock_plant_of(
    farm: Farm, data: Mapping[str, Any], taken: Collection[str], new: dict[str, Species]
) -> StockPlant:  # fmt: skip
    """The stock plants that an entry adds; a species that the farm did not know is put into `new`. Raises Unfit."""
    name, species = text_in(data, "plant"), text_in(data, "species")
    if not (name and species):
        raise Unfit("they lack a name or a species")
    if name in taken:
        raise Unfit("there are already stock plants with that id; they stay as they are")
    known = farm.species.get(species) or new.get(species) or species_named(farm, species)
    latin = known.latin if known else species
    planted = data.get("planted")
    plant = StockPlant(
        name, latin, text_in(data, "cultivar"), text_in(data, "place") or PLACE, count_in(data),
        planted, yields_in(data), text_in(data, "material") or MATERIALS[0],
    )  # fmt: skip
    check_stock_plant(plant)
    if known is not None and latin not in farm.species:
        new[latin] = known
    return plant


def check_stock_plant(plant: StockPlant) -> None:
    """Raises Unfit for stock plants that cannot be."""
    if not 1 <= plant.count <= MOST_PLANTS:
        raise Unfit(f"their count must be from 1 to {MOST_PLANTS:,}, not {plant.count:,}")
    if plant.planted is not None and (
        type(plant.planted) is not int or not FIRST_PLANTED <= plant.planted <= LAST_PLANTED
    ):
        raise Unfit(f"planted is a year from {FIRST_PLANTED} to {LAST_PLANTED}, not {plant.planted}")
    if plant.material not in MATERIALS:
        raise Unfit(f"they give {', '.join(MATERIALS[:-1])} or {MATERIALS[-1]}, not {plant.material}")
    ages = [age for age, _ in plant.yields]
    if ages != sorted(set(ages)) or any(age < 0 or not 0 <= each <= MOST_PLANTS for age, each in plant.yields):
        raise Unfit("what one gives is a number from 0 on for each age, the youngest first")


def yields_in(data: Mapping[str, Any]) -> tuple[tuple[int, float], ...]:
    """What one gives a year by its age. Raises Unfit."""
    told = data.get("yields", [])
    if not isinstance(told, list):
        raise Unfit("what one gives cannot be read")
    found = []
    for pair in told:
        age, told_each = pair if isinstance(pair, list) and len(pair) == 2 else (None, None)
        if type(age) is not int or number(age) is None or (each := number(told_each)) is None:
            raise Unfit("what one gives cannot be read")
        found.append((age, each))
    return tuple(found)


def _stray(entry: Entry, reason: str) -> str:
    return stray(entry, entry.data.get("plant", ""), reason)
