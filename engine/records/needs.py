"""Needs that the journal adds to the farm's own, what it changes in them, and those it withdraws.

The kinds of entries and their data:

    need      need (its id), species, cultivar, form, grade, count, by, sure, who: a need added at the screen
    amend     need, and of count, by, sure, form, grade, cultivar and who what is new
    withdraw  need, reason: it is withdrawn; also one of the farm file

The farm file stays first, and what a planting asks for stays with the planting. Whichever device's clock runs slow, a
need is there before what is told of it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import Any

from engine.farm.model import Farm
from engine.farm.protocols import species_named
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.protocols.model import Species
from engine.reading.frozen import replace
from engine.reading.limits import MOST_HELD, outside
from engine.records.makers import Makers
from engine.records.strays import stray
from engine.records.values import Unfit, count_in, day_in, number, text_in

WORDS = ("cultivar", "form", "grade", "who")
LEAST_SURE, MOST_SURE, SURE = 0.01, 0.9999, 0.9


def with_needs(farm: Farm, entries: Iterable[Entry], strays: list[str], makers: Makers) -> Farm:
    """The farm with its needs as these entries leave them; what makes or changes none is told in `strays`."""
    entries = tuple(entries)
    planned = of_plantings(farm)
    orders = [need for need in farm.needs if need.id not in planned]
    new: dict[str, Species] = {}
    for entry in entries:
        if entry.kind == "need":
            try:
                need = need_of(farm, entry.data, {n.id for n in orders} | planned.keys(), new)
            except Unfit as reason:
                makers.made("need", text_in(entry.data, "need"), entry, "")
                strays.append(_stray(entry, reason))
            else:
                makers.made("need", need.id, entry, need.id)
                orders.append(need)
    gone: dict[str, date] = {}
    for entry in entries:
        if entry.kind != "need":
            try:
                entry, fault = makers.meant(entry)
                if fault:
                    raise Unfit(fault)
                _tell(orders, gone, planned, entry)
            except Unfit as reason:
                strays.append(_stray(entry, reason))
    kept = tuple(need for need in orders if need.id not in gone)
    needs = (*kept, *(need for need in farm.needs if need.id in planned))
    if needs == farm.needs:
        return farm
    return replace(farm, needs=needs, species={**farm.species, **new} if new else farm.species, base=farm.written)


def of_plantings(farm: Farm) -> dict[str, str]:
    """The ids of the needs that the farm's plantings ask for, each with the planting's name."""
    return {need.id: planting.name for planting in farm.plantings for need in planting.needs()}


def need_of(farm: Farm, data: Mapping[str, Any], taken: Collection[str], new: dict[str, Species]) -> Need:
    """The need that an entry adds; a species that the farm did not know is put into `new`. Raises Unfit."""
    name, species = text_in(data, "need"), text_in(data, "species")
    if not (name and species):
        raise Unfit("it lacks a name or a species")
    if name in taken:
        raise Unfit("there is already a need with that id; it stays as it is")
    count, by, sure = count_in(data), day_in(data, "by"), sure_in(data)
    check_need(count, by, sure)
    known = farm.species.get(species) or new.get(species) or species_named(farm, species)
    latin = known.latin if known else species
    if known is not None and latin not in farm.species:
        new[latin] = known
    words = {key: text_in(data, key) for key in WORDS}
    return Need(id=name, species=latin, count=count, by=by, sure=sure, **words)


def amended(need: Need, data: Mapping[str, Any]) -> Need:
    """The need as an entry changes it; a date that is null is taken away. Raises Unfit."""
    count = count_in(data) if "count" in data else need.count
    by = day_in(data, "by") if "by" in data else need.by
    sure = sure_in(data) if "sure" in data else need.sure
    check_need(count, by, sure)
    words = {key: text_in(data, key) for key in WORDS if key in data}
    return replace(need, count=count, by=by, sure=sure, **words)


def check_need(count: int, by: date | None, sure: float) -> None:
    """Raises Unfit for a need that cannot be."""
    if not 1 <= count <= MOST_HELD:
        raise Unfit(f"its count must be from 1 to {MOST_HELD:,}, not {count:,}")
    if by is not None and (told := outside(by)):
        raise Unfit(told)
    if not LEAST_SURE <= sure <= MOST_SURE:
        raise Unfit(f"how surely must be from 1 to 99.99 %, not {sure * 100:.4g} %")


def sure_in(data: Mapping[str, Any]) -> float:
    """How surely an entry asks, 0.9 where it does not say. Raises Unfit."""
    sure = number(data.get("sure", SURE))
    if sure is None:
        raise Unfit("how surely cannot be read")
    return sure


def _tell(orders: list[Need], gone: dict[str, date], planned: Mapping[str, str], entry: Entry) -> None:
    """Carry out what an entry tells of a need that is there. Raises Unfit."""
    name = text_in(entry.data, "need")
    at = next((n for n, need in enumerate(orders) if need.id == name), None)
    if name in planned:
        raise Unfit(f"it belongs to the planting {planned[name]}")
    if at is None:
        raise Unfit("there is no need with that id")
    if name in gone:
        raise Unfit(f"it was withdrawn on {gone[name]}")
    if entry.kind == "withdraw":
        gone[name] = entry.on
    else:
        orders[at] = amended(orders[at], entry.data)


def _stray(entry: Entry, reason: Unfit) -> str:
    return stray(entry, entry.data.get("need", ""), str(reason))
