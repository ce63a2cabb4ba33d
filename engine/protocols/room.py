"""Room in plain words: `120 a tray`, `160 to 320 a square metre` for a step, `40 trays`, `12 m of row` for a place.

A farm opens without a word of this being read: the texts stand in the step and the place until they are asked for.
"""

from __future__ import annotations

import re
from functools import lru_cache
from math import ceil

from engine.reading.frozen import dataclass
from engine.reading.limits import MOST_ROOM
from engine.reading.units import FOOT_M, GALLON_L, SQUARE_FOOT_M2, US

UNITS = {
    "tray": ("trays", "flat", "flats"),
    "box": ("boxes", "boxes", "crate", "crates"),
    "bag": ("bags",),
    "pot": ("pots",),
    "litre": ("litres", "l", "liter", "liters"),
    "metre of row": ("m of row", "metres of row", "meter of row", "meters of row", "bed metre", "bed metres"),
    "square metre": ("m²", "square metres", "square meter", "square meters", "m2", "sq m"),
}
"""Each unit by its name: how an amount of it is written, and its other names."""
_WHOLE = ("tray", "box", "bag", "pot")
"""Only so many whole ones: a tray half full takes its place as a full one does."""
_OTHERWISE = {
    "foot of row": ("metre of row", FOOT_M),
    "feet of row": ("metre of row", FOOT_M),
    "ft of row": ("metre of row", FOOT_M),
    "square foot": ("square metre", SQUARE_FOOT_M2),
    "square feet": ("square metre", SQUARE_FOOT_M2),
    "sq ft": ("square metre", SQUARE_FOOT_M2),
    "gallon": ("litre", GALLON_L),
    "gallons": ("litre", GALLON_L),
}
"""American measures: the unit that they are counted in, and how much of it one is."""
_SAID_US = {
    "litre": ("gallons", GALLON_L),
    "metre of row": ("ft of row", FOOT_M),
    "square metre": ("sq ft", SQUARE_FOOT_M2),
}
"""How an amount of a unit is written on an American farm, and how much of the unit that is."""
_NAMES = {name: (unit, 1.0) for unit, names in UNITS.items() for name in (unit, *names)} | _OTHERWISE
_NUMBER = r"(\d[\d,]*(?:\.\d+)?)"
# Compiled where they are asked for (re keeps them): a farm that gives its places room opens as soon.
_STEP = rf"{_NUMBER}(?:\s*(?:to|-)\s*{_NUMBER})?(?:\s+([a-z ]+?))?\s+(?:an?|per|to an?)\s+(.+)"
_AMOUNT = rf"{_NUMBER}\s*([^\d\s].*)"
_COUNTED = ("", "seeds", "viable seeds", "seedlings", "plants", "cuttings", "grafts", "rootstocks", "nuts", "roots")
_LEFT = ("seedlings", "plants")
"""What is counted after the losses of the step; all else before them."""
STEP_HINT = 'write room = "120 a tray" or "160 to 320 a square metre"'
PLACE_HINT = 'write room = "40 trays", or a list: room = ["40 trays", "12 m of row"]'


class RoomFault(ValueError):
    """A phrase that says no room; `hint` is the remedy."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Room:
    """How many go into one unit, from the loosest to the closest; `left`: of those that the step leaves alive."""

    least: float
    most: float
    unit: str
    left: bool = False

    def takes(self, count: float) -> float:
        """The units that so many take at the loosest, so that no place is thought emptier than it may be."""
        return whole_units(count / self.least, self.unit)


def whole_units(amount: float, unit: str) -> float:
    """An amount as it takes up room: trays, boxes, bags and pots are counted whole."""
    return float(ceil(amount - 1e-9)) if unit in _WHOLE else amount


@lru_cache(maxsize=1024)
def read_room(text: str) -> Room:
    """What a step's `room` says. Raises RoomFault."""
    found = re.fullmatch(_STEP, " ".join(text.lower().split()))
    if found is None:
        raise RoomFault(f'"{text}" does not say how many go into what', STEP_HINT)
    low, high, counted, word = found.groups()
    if (counted or "") not in _COUNTED:
        raise RoomFault(f'"{text}" counts {counted}, which is not known here', f"known here: {', '.join(_COUNTED[1:])}")
    unit, size = _unit(word, STEP_HINT)
    least = _number(low, text, STEP_HINT)
    most = least if high is None else _number(high, text, STEP_HINT)
    if most < least:
        raise RoomFault(f'"{text}" is the wrong way round', f'write room = "{high} to {low} a {unit}"')
    return Room(least / size, most / size, unit, counted in _LEFT)


@lru_cache(maxsize=256)
def read_limit(text: str) -> tuple[float, str]:
    """What one phrase of a place's `room` says: so much of a unit. Raises RoomFault."""
    found = re.fullmatch(_AMOUNT, " ".join(text.lower().split()))
    if found is None:
        raise RoomFault(f'"{text}" does not say how much of what', PLACE_HINT)
    unit, size = _unit(found[2], PLACE_HINT)
    return _number(found[1], text, PLACE_HINT) * size, unit


@lru_cache(maxsize=256)
def read_limits(texts: tuple[str, ...]) -> dict[str, float]:
    """What a place holds, by unit. Raises RoomFault, also where a unit is named twice."""
    limits: dict[str, float] = {}
    for text in texts:
        amount, unit = read_limit(text)
        if unit in limits:
            raise RoomFault(f'"{text}" gives the {UNITS[unit][0]} a second time', "name each unit once")
        limits[unit] = amount
    return limits


def say_amount(amount: float, unit: str, units: str = "metric") -> str:
    """`2 trays`, `1 tray`, `9 m of row`, `0.4 m²`; on an American farm `30 ft of row`, `4.3 sq ft`.

    What there is of it, be it ever so little, is never 0: `under a litre`.
    """
    said, name = say_number(amount, unit, units), unit_name(unit, units)
    if said == "0" and amount > 0:
        return "under a litre" if unit == "litre" else f"under 0.1 {name}"
    if said == "1" and unit in (*_WHOLE, "litre"):
        name = name.removesuffix("s") if name != UNITS[unit][0] else unit
    return f"{said} {name}"


def unit_name(unit: str, units: str = "metric") -> str:
    """How an amount of a unit of room is written: `trays`, `m of row`, `ft of row`."""
    return _SAID_US[unit][0] if units == US and unit in _SAID_US else UNITS[unit][0]


def say_number(amount: float, unit: str, units: str = "metric") -> str:
    """A number of units, as the farm counts them: one decimal below ten, where there is one."""
    if units == US and unit in _SAID_US:
        amount /= _SAID_US[unit][1]
    return f"{amount:,.0f}" if amount >= 9.95 or abs(amount - round(amount)) < 0.05 else f"{amount:.1f}"


def _unit(word: str, hint: str) -> tuple[str, float]:
    if word in _NAMES:
        return _NAMES[word]
    from engine.reading.problems import nearest

    near = nearest(word, _NAMES)
    known = f"units here: {', '.join(UNITS)}"
    raise RoomFault(f'"{word}" is not a unit of room', f"{near if near.startswith('did') else known}; {hint}")


def _number(digits: str, text: str, hint: str) -> float:
    number = float(digits.replace(",", ""))
    if not 0 < number <= MOST_ROOM:
        raise RoomFault(f'"{text}": a number of room runs from above 0 to {MOST_ROOM:,.0f}', hint)
    return number
