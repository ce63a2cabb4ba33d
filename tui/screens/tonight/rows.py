"""The lines of what is threatened: places, and under each its lots, the tenderest first."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Sequence
from typing import Any

from engine.protocols.names import matches
from engine.reading.frozen import dataclass
from engine.views.tonight import Exposed
from tui.cells import counted, fit
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines
from tui.paper.tonight import say_safe


@dataclass(frozen=True, slots=True)
class ExposedRow:
    """One line: a place, or what stands threatened there."""

    place: str
    lots: tuple[Exposed, ...]
    head: bool
    done: bool
    units: str

    @property
    def key(self) -> str:
        here = self.lots[0]
        return self.place if self.head else f"{self.place}\n{here.lot}\n{here.form}\n{here.species} {here.plant}"

    @property
    def pickable(self) -> bool:
        return not self.head


class ExposedList(Lines[ExposedRow]):
    """What is threatened, with a cursor on one line of it."""

    def __init__(self) -> None:
        super().__init__("tonight")

    def put(self, rows: Sequence[ExposedRow], order: Hashable = None) -> None:
        cells = [_cells(row) for row in rows if not row.head]

        def column(name: str, **more: Any) -> Column:
            return Column(name, widest(each[name] for each in cells), **more)

        self.columns = (
            Column("done", 1), column("count", right=True), column("plant", gives=2, least=12, most=60), column("lot"),
            column("form", gives=1), column("safe", coloured=True),
        )  # fmt: skip
        super().put(rows, order)

    def paint(self, row: ExposedRow, width: int) -> tuple[str | Sequence[Part], str]:
        if row.head:
            told = counted(len(row.lots), "lot") + (", seen to" if row.done else "")
            return fit(f" {row.place}", width - len(told) - 1) + told + " ", "place"
        return laid(self.columns, self.wide(width), _cells(row)), "done" if row.done else "open"


def _cells(row: ExposedRow) -> dict[str, str]:
    here = row.lots[0]
    return {
        "done": "✓" if row.done else "", "count": f"up to {here.count}" if here.at_most else str(here.count),
        "plant": here.plant, "lot": "" if here.lot == here.place else here.lot, "form": here.form,
        "safe": "" if here.bears_c is None else say_safe(here.bears_c, row.units),
    }  # fmt: skip


def exposed_rows(lots: Sequence[Exposed], done: Collection[str], units: str, words: str) -> list[ExposedRow]:
    """A heading and the lots of each place, the place of the tenderest first; what is seen to stands last."""
    by_place: dict[str, list[Exposed]] = {}
    for each in lots:
        if not words or matches(words, (each.place, each.lot, each.plant, each.species, each.form)):
            by_place.setdefault(each.place, []).append(each)
    rows: list[ExposedRow] = []
    for place, mine in sorted(by_place.items(), key=lambda item: item[0] in done):
        rows.append(ExposedRow(place, tuple(mine), True, place in done, units))
        rows += [ExposedRow(place, (each,), False, place in done, units) for each in mine]
    return rows
