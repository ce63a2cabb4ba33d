"""What may be set without the farm file, by the rules by which it is read: a place, a price, the hours of a week."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from engine.acts.action import Action, Refused
from engine.acts.batches import find_species
from engine.farm.model import UNDER_COVER, Farm
from engine.farm.places import MONTH_KEYS
from engine.protocols.names import one_letter_off
from engine.records.settings import (
    Misread,
    place_of,
    price_of,
    said_hours,
    said_place,
    said_price,
    said_there,
    set_by,
)
from engine.schedule.nursery import Nursery


def set_place(nursery: Nursery, name: str, told: Mapping[str, Any], on: date) -> Action:
    """A new place, or what is new of one: `told` is of its [[place]] table.

    Raises Refused for a name that is a letter off another place's, for what the file's reader refuses, and where
    nothing would change.
    """
    farm, name = nursery.farm, " ".join(name.split())
    before = place_of(farm, name)
    if before is None:
        near = next((place.name for place in farm.places if one_letter_off(place.name, name)), "")
        if near:
            raise Refused(f'no place is called "{name}"', f'did you mean "{near}"? A new place needs another name')
        given = {key: value for key, value in told.items() if value not in (None, [])}
        now = {"under_cover": name in UNDER_COVER, **given}
    else:
        name, known = before.name, said_place(before)
        now = {key: value for key, value in told.items() if value != known.get(key)}
        if not now:
            raise Refused(f"nothing about {name} would change")
    return _setting(farm, "place", {"place": name, "now": now}, on)


def set_price(nursery: Nursery, item: str, species: str, told: Mapping[str, Any], on: date) -> Action:
    """What a thing costs, for one species or ("") for any: `told` is of a [[price]] table, such as `{"each": 1.2}`.

    Raises Refused for a species that is not known, for what the file's reader refuses, and where nothing would change.
    """
    farm, item = nursery.farm, " ".join(item.lower().split())
    latin = find_species(farm, species).latin if species.strip() else ""
    before = price_of(farm, item, latin)
    if before is not None and said_price(before) == dict(told):
        raise Refused(f"the price of {item} would not change")
    data = {"item": item, "now": dict(told)} | ({"species": latin} if latin else {})
    return _setting(farm, "price", data, on)


def set_hours(nursery: Nursery, told: float | Mapping[str, float], on: date) -> Action:
    """The hours of a week: a number, or by month (`{"jan": 10, …}`; a month that is left out stays as it is).

    Raises Refused for what the file's reader refuses, and where nothing would change.
    """
    now = said_hours(nursery.farm)
    if isinstance(told, Mapping):
        before = now if isinstance(now, Mapping) else dict.fromkeys(MONTH_KEYS, now)
        told = {month: hours for month, hours in {**before, **told}.items() if hours is not None}
    if told == now:
        raise Refused("the hours would not change")
    return _setting(nursery.farm, "hours", {"now": told}, on)


def _setting(farm: Farm, kind: str, data: dict[str, Any], on: date) -> Action:
    try:
        set_by(farm, kind, data)
    except Misread as fault:
        raise Refused(str(fault), fault.hint) from None
    return Action(kind, on, {**data, "was": said_there(farm.of_file, kind, data)})
