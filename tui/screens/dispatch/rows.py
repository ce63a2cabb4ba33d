"""The lines of the orders: under each customer what they get, or under each place what is picked there."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from datetime import date
from typing import Any

from engine.needs.dispatch import Parcel, ParcelLine, Pick, walking_order
from engine.protocols.names import matches
from engine.reading.frozen import dataclass
from tui.cells import fit, near_day
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines

STATE = 9


@dataclass(frozen=True, slots=True)
class ParcelRow:
    """One line: a heading, a need of a parcel, or what is picked for it at a place."""

    title: str
    parcel: Parcel | None = None
    line: ParcelLine | None = None
    pick: Pick | None = None
    place: str = ""

    @property
    def key(self) -> str:
        if self.line is None:
            return self.title
        return f"{self.line.need}{f'|{self.place}|{self.pick.lot}' if self.pick else ''}"

    @property
    def pickable(self) -> bool:
        return self.line is not None


def say_when(parcel: Parcel, today: date) -> str:
    """`by 12 Mar`, `between 4 Nov and 20 Mar`, `from 4 Nov`, `any day`; `was to go by 10 Mar` where that has passed."""
    if parcel.send_by is not None and parcel.send_by < today:
        return f"was to go by {near_day(parcel.send_by, today)}"
    begin = parcel.send_from if parcel.send_from is not None and parcel.send_from > today else None
    if begin and parcel.send_by:
        return f"between {near_day(begin, today)} and {near_day(parcel.send_by, today)}"
    if begin:
        return f"from {near_day(begin, today)}"
    return f"by {near_day(parcel.send_by, today)}" if parcel.send_by else "any day"


_LOOKS = {
    "blocked": "missed", "packed": "done", "waiting": "coming", "ready": "open", "part ready": "closing",
    "short": "held",
}  # fmt: skip


class ParcelList(Lines[ParcelRow]):
    """The parcels with a cursor on a line of one."""

    def __init__(self) -> None:
        super().__init__("dispatch")
        self.today = date.min
        self._heads = 0

    def put(self, rows: Sequence[ParcelRow], order: Hashable = None) -> None:
        cells = [_cells(row) for row in rows if row.line is not None]

        def column(name: str, **more: Any) -> Column:
            return Column(name, widest(each[name] for each in cells), **more)

        self.columns = (
            column("box"), column("count", right=True), column("plant", gives=1, least=12),
            column("told", gives=2, least=12), column("for", gives=3, least=8),
        )  # fmt: skip
        self._heads = widest(_head(row, self.today) for row in rows if row.line is None)
        super().put(rows, order)

    @property
    def natural(self) -> int:
        """What the widest line or heading takes."""
        return max(super().natural, self._heads + 2)

    def paint(self, row: ParcelRow, width: int) -> tuple[str | Sequence[Part], str]:
        if row.parcel is None:
            return fit(f" {row.title}", width), "place"
        state = row.parcel.state(self.today)
        if row.line is None:
            when = say_state(row.parcel, self.today)
            return fit(f" {row.parcel.who}", width - len(when) - 1) + when + " ", "place"
        short = row.pick is None and row.line.short
        look = "closing" if short and state in ("ready", "part ready", "packed") else _LOOKS[state]
        parts = laid(self.columns, self.wide(width), _cells(row))
        return [*parts, (" " * (width - sum(len(text) for text, _ in parts)), False)], look


def say_state(parcel: Parcel, today: date) -> str:
    """`ready, by 12 Mar`, `send between 2 Nov and 19 Feb`."""
    state = parcel.state(today)
    return f"{'send' if state == 'waiting' else f'{state},'} {say_when(parcel, today)}"


def _head(row: ParcelRow, today: date) -> str:
    """The words of a heading, a gap between its two ends."""
    return row.title if row.parcel is None else f"{row.parcel.who}  {say_state(row.parcel, today)}"


def _cells(row: ParcelRow) -> dict[str, str]:
    """What stands in the columns: of a need, from which lots it comes; of what is picked at a place, for whom."""
    line, parcel = row.line, row.parcel
    assert line is not None
    assert parcel is not None
    plant = f"{line.plant} {line.cultivar}".rstrip() + (f", {line.form}" if line.form else "")
    if row.pick is not None:
        box = "[x]" if parcel.packed else "[ ]"
        return {
            "box": box, "count": str(row.pick.count), "plant": plant, "told": row.pick.lot, "for": f"for {parcel.who}"
        }  # fmt: skip
    lots = ", ".join(f"{pick.count} of {pick.lot}" for pick in line.picks)
    told = f"{lots}; {line.short} short" if lots and line.short else lots or f"{line.short} short"
    box = "[x]" if parcel.packed and line.picks else "[ ]"
    return {"box": box, "count": str(line.count), "plant": plant, "told": told, "for": ""}


def parcel_rows(found: Sequence[Parcel], words: str, by_place: bool, today: date) -> list[ParcelRow]:
    """The list's lines, of what is meant by these words."""
    meant = [
        parcel for parcel in found
        if not words or matches(words, (parcel.who, *(n for x in parcel.lines for n in (x.need, x.plant, x.species))))
    ]  # fmt: skip
    rows: list[ParcelRow] = []
    if by_place:
        whose = {parcel.who: parcel for parcel in meant}
        for place, picks in walking_order(meant, today):
            rows.append(ParcelRow(place))
            rows += [ParcelRow(line.need, whose[who], line, pick, place) for who, line, pick in picks]
        return rows
    for parcel in meant:
        rows.append(ParcelRow(f"for {parcel.who}", parcel))
        rows += [ParcelRow(line.need, parcel, line) for line in parcel.lines]
    return rows
