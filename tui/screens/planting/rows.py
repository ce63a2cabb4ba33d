"""The lines of the plantings: a heading for each, and its plants."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from datetime import date

from engine.farm.layout import Plant
from engine.farm.planting import Planting
from engine.needs.planting_outlook import NO_LIFE
from engine.protocols.names import matches
from engine.reading.frozen import dataclass
from engine.records.plantings import Life
from tui.cells import fit
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines
from tui.strips.planting_map import SIGNS

_LOOKS = {"bearing": "open", "alive": "open", "wanted": "coming", "dead": "missed"}


@dataclass(frozen=True, slots=True)
class PlantRow:
    """One line: a planting's heading, or a plant of it."""

    planting: Planting
    plant: Plant | None
    name: str
    life: Life = NO_LIFE
    seen: bool = False
    """Whether the running walk has seen it."""

    @property
    def key(self) -> str:
        return f"{self.planting.name}\n{self.plant.id if self.plant else ''}"

    @property
    def pickable(self) -> bool:
        return self.plant is not None


class PlantList(Lines[PlantRow]):
    """Every plant of the plantings, with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("planting")

    def paint(self, row: PlantRow, width: int) -> tuple[str | Sequence[Part], str]:
        if row.plant is None:
            return fit(f" {row.name}", width), "place"
        state = row.life.state
        look = "done" if row.seen and state != "dead" else _LOOKS[state]
        return [("✓" if row.seen else " ", False), *laid(self.columns, self.wide(width - 1), _cells(row))], look

    def put(self, rows: Sequence[PlantRow], order: Hashable = None) -> None:
        cells = [_cells(row) for row in rows if row.plant is not None]
        self.columns = (
            Column("sign", 1, coloured=True),
            Column("id", widest((each["id"] for each in cells), 6)),
            Column("name", widest((each["name"] for each in cells), 8), gives=1, least=10),
            Column("told", widest(each["told"] for each in cells), gives=2),
        )
        super().put(rows, order)


def _cells(row: PlantRow) -> dict[str, str]:
    assert row.plant is not None
    plant = row.plant
    return {
        "sign": SIGNS[row.life.state], "id": f"{'  ' if plant.beside else ''}{plant.id}", "name": row.name,
        "told": row.life.cause or (plant.purpose if plant.purpose != "crop" else ""),
    }  # fmt: skip


def plant_rows(
    plantings: Sequence[tuple[Planting, Sequence[Plant], Mapping[str, Life]]],
    names: Mapping[tuple[str, str], str],
    words: str,
    today: date,
) -> list[PlantRow]:
    """A heading and the plants of each planting that are meant by these words."""
    found: list[PlantRow] = []
    for planting, plants, lives in plantings:
        rows = []
        for plant in plants:
            life, name = lives.get(plant.id, NO_LIFE), names[plant.species, plant.cultivar]
            if not words or matches(words, (planting.name, plant.id, name, plant.species, life.state, plant.purpose)):
                rows.append(PlantRow(planting, plant, name, life, life.seen_lately(today)))
        if rows:
            found += [PlantRow(planting, None, planting.name), *rows]
    return found
