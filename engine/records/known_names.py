"""What a farm knows by name: what was told of a mark or a place that has another name now is heeded by nothing."""

from __future__ import annotations

from functools import cached_property

from engine.almanac.almanac import Almanac
from engine.farm.model import Farm
from engine.reading.problems import nearest


class Known:
    """The marks and places of a farm, looked up only where an entry names one."""

    def __init__(self, farm: Farm) -> None:
        self._farm = farm

    @cached_property
    def marks(self) -> frozenset[str]:
        """Every mark that can be told of here."""
        return frozenset(Almanac(self._farm.site).mark_names())

    @cached_property
    def places(self) -> frozenset[str]:
        """Every place that the farm lists, or where a lot stands in a step."""
        farm = self._farm
        listed = {farm.place_for(place.name) for place in farm.places}
        ways = {(id(b.protocol), b.place): b for b in farm.batches}.values()  # a farm has many lots, and few ways
        return frozenset(listed | {farm.where(b, step) for b in ways for step in b.protocol.steps} - {""})

    def fault_of_mark(self, mark: str) -> str:
        """Why a sighting of a mark tells nothing, or nothing."""
        return "" if mark in self.marks else _unknown("mark", mark, self.marks)

    def fault_of_place(self, place: str) -> str:
        """Why an outage of a place tells nothing, or nothing."""
        return "" if place in self.places else _unknown("place", place, self.places)


def _unknown(what: str, name: str, known: frozenset[str]) -> str:
    near = nearest(name, sorted(known))
    told = f"no {what} has this name now, so it has no effect"
    return f"{told}; {near}" if near.startswith("did you mean") else told
