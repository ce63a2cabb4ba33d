"""The lines of what is threatened: places, and under each its lots, the tenderest first."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Sequence

from engine.protocols.names import matches
from engine.reading.frozen import dataclass
from engine.reading.units import say_degrees
from engine.views.tonight import Exposed
from tui.cells import counted, fit
from tui.columns import widest
from tui.lines import Lines


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
        self.form, self.bears = 14, 12
        """Cells that a form and what it bears take."""

    def put(self, rows: Sequence[ExposedRow], order: Hashable = None) -> None:
        self.form = widest((row.lots[0].form for row in rows if not row.head), 4)
        super().put(rows, order)

    def paint(self, row: ExposedRow, width: int) -> tuple[str, str]:
        if row.head:
            told = counted(len(row.lots), "lot") + (", seen to" if row.done else "")
            return fit(f" {row.place}", width - len(told) - 1) + told + " ", "place"
        here = row.lots[0]
        bears = "" if here.bears_c is None else f"bears {say_degrees(here.bears_c, row.units)}"
        tail = f"{here.form:<{self.form}} {bears:>{self.bears}} "
        lot = "" if here.lot == here.place else here.lot
        count = f"{f'up to {here.count}' if here.at_most else here.count:>5}"
        plant = fit(here.plant, max(8, width - len(tail) - len(count) - 15))
        head = f" {'✓' if row.done else ' '} {count} {plant} {lot}"
        return fit(head, width - len(tail)) + tail, "done" if row.done else "open"


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
