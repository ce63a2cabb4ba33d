"""Readers of words that are typed (names, yes or no, what is coming tonight), in a form and in a command alike."""

from __future__ import annotations

import re
from math import inf
from typing import TYPE_CHECKING

from engine.acts.action import Refused
from engine.reading.units import US, read_degrees, read_length, to_degrees
from tui.typed_days import NONE

if TYPE_CHECKING:
    from engine.records.rows import RowPart
    from engine.views.tonight import Hazard

_STRETCH = r"(.+):(\d+(?:\.\d+)? ?(?:m|ft)?):(\d{1,9})"  # compiled where it is wanted


def file_name(text: str) -> str:
    """The name of a file that is to be read or written."""
    if not text.strip():
        raise Refused("the name of a file is missing")
    return text


HAZARDS_WRITTEN = "the low, such as -3; or: heat 33, wind, power cut"


def celsius_of(text: str, units: str = "metric") -> float:
    """Degrees as typed, in the farm's units, as degrees Celsius."""
    try:
        celsius = read_degrees(text, units)
    except ValueError:
        celsius = inf
    if not -90 <= to_degrees(celsius, units) <= 140:
        unit = "F" if units == US else "C"
        raise Refused(f'"{text.strip()}" is not a number of degrees {unit}', f"write {HAZARDS_WRITTEN}")
    return celsius


def hazard_of(text: str, units: str = "metric") -> Hazard:
    """What is coming: the night's low, or `heat 33`, `wind`, `power cut`; degrees in the farm's units."""
    from engine.views.tonight import FROST, HEAT, POWER_CUT, WIND, Hazard

    words = " ".join(text.lower().replace("-cut", " cut").split())
    if words in (WIND, POWER_CUT):
        return Hazard(words)
    kind = HEAT if words.startswith(HEAT) else FROST
    return Hazard(kind, celsius_of(words.removeprefix(kind), units))


def names_of(text: str) -> tuple[str, ...]:
    """Names with commas between."""
    return tuple(name for part in text.split(",") if (name := " ".join(part.split())))


def instead_of(text: str) -> tuple[tuple[str, str], ...]:
    """Places and those meant instead: `seed beds=seed frame, cold store=cellar`; none of them for `none`."""
    if text.strip().lower() == NONE:
        return ()
    pairs = []
    for part in names_of(text):
        old, sign, new = (word.strip() for word in part.partition("="))
        if not (old and sign and new):
            raise Refused(f'"{part}" is not a place and the one meant instead', "write seed beds=seed frame")
        pairs.append((old, new))
    return tuple(pairs)


def yes_of(text: str, question: str) -> bool:
    """Yes or no, or y or n."""
    if text.lower() not in ("yes", "no", "y", "n"):
        raise Refused(f"{question}: yes or no")
    return text.lower().startswith("y")


def row_part_of(text: str, units: str = "metric") -> RowPart | None:
    """A stretch of a row: LOT:LENGTH:COUNT, the length in metres, or in feet where those are the farm's units, or as it
    says itself: `3.5`, `3.5m`, `12ft`; None where the words are something else."""
    from engine.records.rows import RowPart

    found = re.fullmatch(_STRETCH, text)
    return None if found is None else RowPart(found[1], read_length(found[2], units), int(found[3]))
