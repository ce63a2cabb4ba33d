"""A need and what of the stock it takes: the lines that the allotment, the orders and the screens hand on."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from engine.farm.stock import Need
from engine.reading.frozen import dataclass

if TYPE_CHECKING:
    from engine.needs.allotment import StockLine


@dataclass(frozen=True, slots=True)
class Taken:
    """So many of a lot for a need: as it stands there now, or (`comes`) of what it will be."""

    lot: str
    count: int
    form: str = ""
    grade: str = ""
    place: str = ""
    comes: bool = False

    def is_of(self, line: StockLine) -> bool:
        """Whether it is taken of this line, as it stands or as what comes of it."""
        if self.comes:
            return self.lot == line.lot and line.coming is not None
        return (self.lot, self.form, self.grade, self.place) == (line.lot, line.form, line.grade, line.place)


@dataclass(frozen=True, slots=True)
class NeedLine:
    """A need on a day: what has gone out to it, what stands ready for it, and what comes as surely as it asks."""

    need: Need
    plant: str
    met: int
    from_hand: int
    to_come: int
    parts: tuple[Taken, ...] = ()
    """What it is to be met from: what is on hand first, then what comes."""
    chance: float = 1.0
    """The chance, 0 to 1, that what stands ready is there still, and what comes makes up for the rest."""
    unsure: int = 0
    """How many stand ready for it, but may be lost where they stand before it is wanted: they do not count."""
    lapses: tuple[str, ...] = ()
    """What would do but does not keep until then where it stands, in words."""
    unsorted: int = 0
    """How many are likely to come that would do, were it known how many of them will be of the grade it names."""

    @property
    def taken(self) -> tuple[tuple[str, int], ...]:
        """How many of each lot."""
        lots = Counter[str]()
        for part in self.parts:
            lots[part.lot] += part.count
        return tuple(lots.items())

    @property
    def short(self) -> int:
        """How many it still lacks, at the least 0."""
        return max(0, self.need.count - self.met - self.from_hand - self.to_come)
