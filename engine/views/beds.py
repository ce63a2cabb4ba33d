"""The map of the beds: what stands in each row, from its fixed end, so that a lost label can be made good."""

from __future__ import annotations

from engine.reading.frozen import dataclass
from engine.schedule.nursery import Nursery


@dataclass(frozen=True, slots=True)
class Stretch:
    """A lot's part of a row: from and to so many metres from the row's fixed end, and how many stand there."""

    lot: str
    plant: str
    start_m: float
    end_m: float
    count: int
    doubtful: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a place."""

    place: str
    name: str
    stretches: tuple[Stretch, ...]

    @property
    def metres(self) -> float:
        """How long the row is, in metres."""
        return self.stretches[-1].end_m if self.stretches else 0.0


def bed_rows(nursery: Nursery) -> tuple[Row, ...]:
    """Every row that was told, by place and name; rows with numbers in the order of their numbers."""
    farm, stock = nursery.farm, nursery.records.stock
    rows = []
    for (place, name), parts in nursery.records.rows.items():
        stretches, along = [], 0.0
        for part in parts:
            known = stock.names.get(part.lot)
            plant = farm.plant(known.species, known.cultivar) if known else "not known"
            doubtful = known.doubtful if known else True
            stretches.append(Stretch(part.lot, plant, along, along + part.metres, part.count, doubtful))
            along += part.metres
        rows.append(Row(place, name, tuple(stretches)))
    return tuple(
        sorted(rows, key=lambda row: (row.place, [(len(n), n) if n.isdigit() else (0, n) for n in [row.name]]))
    )


def disagreements(nursery: Nursery) -> tuple[str, ...]:
    """Where the rows of a place hold another count of a lot than the book has there."""
    mapped: dict[tuple[str, str], int] = {}
    for (place, _), parts in nursery.records.rows.items():
        for part in parts:
            mapped[place, part.lot] = mapped.get((place, part.lot), 0) + part.count
    told = []
    for (place, lot), count in sorted(mapped.items()):
        held = sum(h.count for h in nursery.records.stock.of(lot) if h.place == place)
        if held != count:
            told.append(f"{lot}: {count} in the rows of {place}, {held} on record")
    return tuple(told)
