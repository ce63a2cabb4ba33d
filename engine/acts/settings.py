"""What may be set without the farm file, by the rules by which it is read: a place, a price, the hours of a week."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from engine.acts.action import Action, Refused
from engine.acts.batches import find_species
from engine.farm.model import UNDER_COVER, Farm, Place
from engine.farm.places import MONTH_KEYS
from engine.protocols.forms import so_many
from engine.protocols.names import one_letter_off, same_name
from engine.reading.problems import nearest
from engine.records.lots import Lot
from engine.records.settings import (
    GONE,
    NAME,
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

_MANY = 3
"""So many of what keeps a place are named."""


def set_place(nursery: Nursery, name: str, told: Mapping[str, Any], on: date) -> Action:
    """A new place, or what is new of one: `told` is of its [[place]] table.

    Raises Refused for a name that is a letter off another place's, for what the file's reader refuses, and where
    nothing would change.
    """
    farm, name = nursery.farm, " ".join(name.split())
    before = place_of(farm, name)
    if before is None:
        _free(farm, name)
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


def _free(farm: Farm, name: str) -> None:
    """Raises Refused where another place is meant by a name: what is told of it would be told of that one."""
    other = next((place.name for place in farm.places if any(same_name(name, word) for word in place.serves)), "")
    if other:
        raise Refused(f'"{name}" means {other} here', "choose another name, or change what that place stands for")


def rename_place(nursery: Nursery, name: str, new: str, on: date) -> Action:
    """Another name for a place: what stands there, and all that was recorded of it, follows.

    Raises Refused for a place that the farm does not list, and for a name that is another's.
    """
    farm, place, new = nursery.farm, _listed(nursery.farm, name), " ".join(new.split())
    if not new:
        raise Refused("a place needs a name")
    if new == place.name:
        raise Refused(f"{place.name} already has that name")
    other = place_of(farm, new)
    if other is not None and other is not place:
        raise Refused(f"{other.name} is another place", f"move what stands in {place.name} there instead")
    if not any(same_name(new, word) for word in (place.name, *place.serves)):
        _free(farm, new)
    return _setting(farm, "place", {"place": place.name, "now": {NAME: new}}, on)


def remove_place(nursery: Nursery, name: str, on: date) -> Action:
    """A place that is no more. Raises Refused, with what keeps it, where anything stands there or is to go there."""
    farm, place = nursery.farm, _listed(nursery.farm, name)

    def here(word: str) -> bool:
        return farm.place_for(word) == place.name

    held = [f"{h.lot} ({so_many(h.count, h.form)})" for h in nursery.records.stock.holdings if here(h.place)]
    kept = [mother.id for mother in farm.stock_plants if here(mother.place)]

    def to_do(lot: Lot) -> list[str]:
        steps = lot.batch.protocol.steps if lot.given_up is None else ()
        return [farm.where(lot.batch, s) for s in steps if s.do not in lot.done and s.do not in lot.dropped]

    to_come = [lot.id for lot in nursery.records.lots if place.name in to_do(lot)]
    for names, verbs, told, remedy in (
        (held, ("stands", "stand"), "there", "move it first"),
        (kept, ("is", "are"), "kept there to cut from", "grub it out, or change its place in the farm file"),
        (to_come, ("is", "are"), "due there", "give it another place first: e among the batches"),
    ):
        if names:
            more = f" and {len(names) - _MANY} more" if len(names) > _MANY else ""
            some = ", ".join(names[:_MANY]) + more
            raise Refused(f"{place.name} cannot be removed: {some} {verbs[len(names) > 1]} {told}", remedy)
    return _setting(farm, "place", {"place": place.name, "now": {GONE: True}}, on)


def remove_price(nursery: Nursery, item: str, species: str, on: date) -> Action:
    """A price that holds no more. Raises Refused where the farm has none."""
    farm, item = nursery.farm, " ".join(item.lower().split())
    latin = find_species(farm, species).latin if species.strip() else ""
    if price_of(farm, item, latin) is None:
        of = f" of {farm.plant(latin)}" if latin else ""
        raise Refused(f"there is no price of {item}{of}")
    data = {"item": item, "now": {GONE: True}} | ({"species": latin} if latin else {})
    return _setting(farm, "price", data, on)


def _listed(farm: Farm, name: str) -> Place:
    """A place that the farm lists, by its name or by a word that it stands for. Raises Refused."""
    found = place_of(farm, name) or place_of(farm, farm.place_for(" ".join(name.split())))
    if found is None:
        raise Refused(f'no place is called "{name}"', nearest(name, [place.name for place in farm.places]))
    return found


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
