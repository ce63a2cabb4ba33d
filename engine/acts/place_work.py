"""What may be recorded of a place: standing work done, made ready for a frost, that it stood too warm or froze."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.acts.action import Action, Refused, not_to_come
from engine.farm.model import Farm
from engine.protocols.names import plain
from engine.reading.limits import LONGEST_OUTAGE
from engine.reading.problems import nearest
from engine.reading.said import whole_or_not
from engine.reading.units import say_warmth, say_warmths

COLDEST, HOTTEST = -40, 50
"""Degrees Celsius that a store or a shelf may have stood at."""


def worked(do: str, place: str, on: date, today: date) -> Action:
    """Standing work done on a day."""
    not_to_come(on, today)
    return Action("worked", on, {"do": do, "place": place})


def against(kind: str) -> str:
    """What is recorded of a place that was made ready for a frost, a heat day, a wind or a power cut."""
    return f"made ready for {kind}"


def made_ready(kind: str, place: str, places: Iterable[str], on: date, today: date) -> Action:
    """A place made ready for what was forecast, one of those that it threatens. Raises Refused for another."""
    not_to_come(on, today)
    known = sorted(set(places))
    named = next((name for name in known if plain(name) == plain(place)), None)
    if named is None:
        raise Refused(f'nothing at "{place.strip()}" is at risk', nearest(place, known) if known else "")
    return Action("worked", on, {"do": against(kind), "place": named})


def outage(farm: Farm, place: str, days: int, temperature_c: float, on: date, today: date) -> Action:
    """A place stood too warm, or froze, for some days, the last of them `on`. Degrees Celsius.

    Raises Refused for a place that nothing here stands in, a day to come, and impossible figures.
    """
    not_to_come(on, today)
    known = {farm.place_for(p.name) for p in farm.places}
    known |= {farm.where(b, step) for b in farm.batches for step in b.protocol.steps} - {""}
    named = next((name for name in known if plain(name) == plain(place)), farm.place_for(place.strip()))
    if named not in known:
        raise Refused(f'no place is called "{place}"', nearest(place, sorted(known)))
    if not 1 <= days <= LONGEST_OUTAGE:
        raise Refused(f"{days} days: an outage lasts from 1 to {LONGEST_OUTAGE} days")
    if not COLDEST <= temperature_c <= HOTTEST:
        told, span = say_warmth(temperature_c, farm.units), say_warmths((COLDEST, HOTTEST), farm.units)
        raise Refused(f"{told}: give degrees from {span}")
    degrees = whole_or_not(temperature_c)
    return Action("outage", on, {"place": named, "days": days, "temperature_c": degrees})
