"""What a grower may record of stock plants: new ones, and that they are grubbed out, or refused."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from engine.acts.action import Action, Refused
from engine.acts.batches import find_place, find_species
from engine.farm.stock import StockPlant
from engine.journal.entry import Entry
from engine.protocols.forms import MATERIALS
from engine.protocols.names import plain
from engine.reading.frozen import replace
from engine.reading.problems import nearest
from engine.records.stock_plants import PLACE, check_stock_plant
from engine.records.values import Unfit
from engine.schedule.nursery import Nursery


def new_stock_plant(nursery: Nursery, entries: Iterable[Entry], wanted: StockPlant, on: date) -> Action:
    """New stock plants, their species by any of its names; `entries` are the journal's, for the ids it has used.

    Raises Refused for an id that is or was taken, names that are not known, and figures that cannot be.
    """
    farm, name = nursery.farm, " ".join(wanted.id.split())
    if not name:
        raise Refused("stock plants need an id", 'such as "elder row"')
    taken = [plant.id for plant in (*farm.stock_plants, *farm.written.stock_plants)]
    taken += [str(entry.data.get("plant", "")) for entry in entries if entry.kind == "stock_plant"]
    for each in taken:
        if plain(each) == plain(name):
            raise Refused(f'"{each}" has already been used', "give another id")
    if not wanted.species.strip():
        raise Refused("stock plants need a species")
    species = find_species(farm, wanted.species)
    material = next((m for m in MATERIALS if plain(m) == plain(wanted.material)), wanted.material)
    plant = replace(wanted, material=material)
    try:
        check_stock_plant(plant)
    except Unfit as fault:
        raise Refused(str(fault), nearest(plant.material, MATERIALS) if material not in MATERIALS else "") from None
    if plain(wanted.place) in ("", plain(PLACE)):
        place = ""
    else:
        known = next((p.place for p in farm.stock_plants if plain(p.place) == plain(wanted.place)), "")
        place = known or find_place(farm, wanted.place)
    data: dict[str, Any] = {
        "plant": name, "species": species.latin, "cultivar": " ".join(wanted.cultivar.split()), "place": place,
        "count": plant.count, "planted": plant.planted, "material": "" if material == MATERIALS[0] else material,
        "yields": [[age, each] for age, each in plant.yields] or None,
    }  # fmt: skip
    return Action("stock_plant", on, {key: value for key, value in data.items() if value not in ("", None)})


def grub_out(nursery: Nursery, plant: str, reason: str, on: date) -> Action:
    """Stock plants that are cut from no longer. Raises Refused, with the nearest spelling, where there are none."""
    plants = nursery.farm.stock_plants
    found = next((each for each in plants if plain(each.id) == plain(plant)), None)
    if found is None:
        raise Refused(f'no stock plants are called "{plant.strip()}"', nearest(plant, [each.id for each in plants]))
    told = {"reason": words} if (words := " ".join(reason.split())) else {}
    return Action("grub_out", on, {"plant": found.id, **told})
