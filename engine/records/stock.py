"""The stock as it is at one time: lots, what is held of each and where, and the counts that moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from engine.reading.frozen import dataclass, field

ORIGINS = ("opening", "bought", "collected", "found", "swapped", "propagated")

Key = tuple[str, str, str, str]
"""Lot, form, grade, place."""


@dataclass(frozen=True, slots=True)
class LotName:
    """What a lot is: its plant, where it came from, and the lot that it was parted from."""

    species: str
    cultivar: str = ""
    origin: str = ""
    parent: str = ""
    unit: str = ""
    """Empty for pieces; g for grams."""
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Movement:
    """One count that moved: `source` and `target` are holdings, or a word for the world outside."""

    on: date
    kind: str
    count: int
    source: Key | str
    target: Key | str
    told: str = ""
    entry: str = ""


@dataclass(frozen=True, slots=True)
class Holding:
    """So many of one lot in one form and grade in one place."""

    lot: str
    name: LotName
    form: str
    grade: str
    place: str
    count: int
    going: bool = False
    """Sown, stuck or grafted and not yet counted alive: not on hand."""


@dataclass(frozen=True, slots=True)
class Stock:
    """What is on hand or going, and per species and cultivar what ever came in and went out."""

    holdings: tuple[Holding, ...] = ()
    flows: Mapping[tuple[str, str], tuple[int, int]] = field(default_factory=dict)
    movements: Sequence[Movement] = ()
    """Only of the lots that were watched."""
    names: Mapping[str, LotName] = field(default_factory=dict)
    current: Mapping[str, Key] = field(default_factory=dict)
    """For a lot under propagation: the holding that its next act is done to."""
    met: Mapping[str, int] = field(default_factory=dict)
    """How many went out to each need that was named."""
    watched: Mapping[str, tuple[float, int]] = field(default_factory=dict)
    """For each place how many years something stood there, and in how many of them a whole lot was lost to what befell
    the place."""
    since: Mapping[Key, date] = field(default_factory=dict)
    """When the latest of a holding came to stand as it does; `date.min` for what was there at the start."""
    given_up: Mapping[str, date] = field(default_factory=dict)
    """Lots that were given up, and when: nothing comes to them until something of them is counted."""

    def of(self, lot: str) -> tuple[Holding, ...]:
        """What is on hand of a lot, in each form, grade and place."""
        return tuple(h for h in self.holdings if h.lot == lot)


def say_given_up(on: date) -> str:
    """Why nothing is done with a lot, and the remedy: by another device, it may be, or because it was thought dead."""
    return f"it was dropped on {on}; undo that where it was recorded, or count what is there"
