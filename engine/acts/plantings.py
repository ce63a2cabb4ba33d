"""What may be recorded of a planting: what a walk finds, a place taken over, and a new plant that is wanted there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from engine.acts.action import Action, Refused, not_to_come
from engine.acts.needs import free_need_id, new_need
from engine.farm.layout import Plant, plants_of
from engine.farm.model import Farm
from engine.farm.planting import Planting
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.protocols.names import plain
from engine.reading.problems import nearest
from engine.records.plantings import CAUSES, FOUND, STATES, Life
from engine.schedule.nursery import Nursery

NO_LIFE = Life()


def find_planting(farm: Farm, name: str) -> Planting:
    """The planting of that name. Raises Refused with the nearest good spelling."""
    found = next((each for each in farm.plantings if plain(each.name) == plain(name)), None)
    if found is None:
        names = [each.name for each in farm.plantings]
        hint = nearest(name, names) if names else "the farm file has no [[planting]]"
        raise Refused(f'no planting is called "{name.strip()}"', hint)
    return found


def find_plant(planting: Planting, name: str) -> Plant:
    """The plant of that id, in any letters. Raises Refused with the nearest good spelling."""
    plants = plants_of(planting)
    exact = next((each for each in plants if each.id == name.strip()), None)
    found = exact or next((each for each in plants if plain(each.id) == plain(name)), None)
    if found is None:
        hint = nearest(name, [each.id for each in plants])
        raise Refused(f'no position of {planting.name} is called "{name.strip()}"', hint)
    return found


def lives_in(nursery: Nursery, planting: Planting) -> Mapping[str, Life]:
    """What is known of the plants of a planting."""
    return nursery.records.plantings.get(planting.name, {})


def walked(
    nursery: Nursery, planting: str, position: str, state: str, on: date, today: date, cause: str = "", note: str = ""
) -> Action:  # fmt: skip
    """What a walk finds of one plant. A cause belongs to a death; a note may stand with any state, or alone.

    Raises Refused for a day to come, names and states that are not known, and what cannot be of a plant that was never
    planted, or that is dead.
    """
    not_to_come(on, today)
    design = find_planting(nursery.farm, planting)
    plant = find_plant(design, position)
    told, why = plain(state) or ("note" if note else ""), plain(cause)
    if told not in STATES:
        raise Refused(f'"{state.strip()}" is not a state of a plant', nearest(told, STATES))
    if why and told != "dead":
        raise Refused(f"only a dead plant has a cause, not one that is {told}", "leave the cause out, or say dead")
    if why and why not in CAUSES:
        raise Refused(f'cause "{cause.strip()}" is not known', nearest(why, CAUSES))
    life = lives_in(nursery, design).get(plant.id, NO_LIFE)
    words = " ".join(note.split())
    if told == "note" and not words:
        raise Refused("the note is empty")
    if life.planted is None and told in ("bearing", "dead") and (design.by is None or design.by > on):
        raise Refused(f"{plant.id} is not planted yet", f"record first that it is planted, or alive; due {design.by}")
    if life.planted is not None and on < life.planted and told in FOUND:
        raise Refused(f"{plant.id} was planted on {life.planted}", "give the day of the walk with --on")
    if told == "planted" and life.state in ("alive", "bearing"):
        raise Refused(f"{plant.id} is {life.state}: its place is taken", "record it dead first")
    data: dict[str, Any] = {"planting": design.name, "position": plant.id, "state": told, "cause": why, "note": words}
    return Action("walked", on, {key: value for key, value in data.items() if value})


def take_over(nursery: Nursery, planting: str, position: str, on: date, today: date) -> Action:
    """An understudy takes the place of its first choice, which is dead.

    Raises Refused for a day to come, what is no understudy or does not live, and where the first choice lives.
    """
    not_to_come(on, today)
    design = find_planting(nursery.farm, planting)
    plant = find_plant(design, position)
    lives = lives_in(nursery, design)
    life, first = lives.get(plant.id, NO_LIFE), lives.get(plant.beside, NO_LIFE)
    if not plant.beside:
        raise Refused(f"{plant.id} is a first choice", "name the understudy that takes its place")
    if life.leads:
        raise Refused(f"{plant.id} has taken that place already")
    if life.state not in ("alive", "bearing"):
        raise Refused(f"{plant.id} is {life.state}: it cannot take a place")
    if first.state != "dead":
        raise Refused(f"{plant.beside} is {first.state}: its place is not free", "record it dead first")
    return Action("took_over", on, {"planting": design.name, "position": plant.id})


def ask_anew(
    nursery: Nursery, entries: Iterable[Entry], planting: str, position: str, by: date, on: date
) -> Action:  # fmt: skip
    """A need for a new plant where one is dead; what goes out to it stands there. Raises Refused."""
    design = find_planting(nursery.farm, planting)
    plant = find_plant(design, position)
    life = lives_in(nursery, design).get(plant.id, NO_LIFE)
    if life.state != "dead":
        raise Refused(f"{plant.id} is {life.state}: no new plant is wanted there", "record it dead first")
    entries = tuple(entries)
    if open_need(nursery.farm, entries, design.name, plant.id) is not None:
        raise Refused(f"a new plant is already asked for at {plant.id}")
    name = free_need_id(nursery, entries, f"{design.name} {plant.id}", by)
    wanted = Need(name, plant.species, plant.cultivar, design.form, 1, by, design.sure, design.name)
    action = new_need(nursery, entries, wanted, on)
    return Action("need", on, {**action.data, "planting": design.name, "position": plant.id})


def open_need(farm: Farm, entries: Iterable[Entry], planting: str, position: str) -> str | None:
    """The id of the need that asks for a new plant at a position and is not met; None where none does."""
    ids = {
        str(entry.data.get("need"))
        for entry in entries
        if entry.kind == "need" and (entry.data.get("planting"), entry.data.get("position")) == (planting, position)
    }
    met = {str(entry.data.get("need")) for entry in entries if entry.kind == "plant_out"}
    return next((need.id for need in farm.needs if need.id in ids - met), None)
