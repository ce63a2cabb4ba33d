"""The lines of the orders: under each customer what they get, or under each place what is picked there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.needs.dispatch import Parcel, ParcelLine, Pick, walking_order
from engine.protocols.names import matches
from engine.reading.frozen import dataclass
from tui.cells import fit, near_day
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
    """`by 12 Mar`, `between 4 Nov and 20 Mar`, `from 4 Nov`, `any day`."""
    begin = parcel.send_from if parcel.send_from is not None and parcel.send_from > today else None
    if begin and parcel.send_by:
        return f"between {near_day(begin, today)} and {near_day(parcel.send_by, today)}"
    if begin:
        return f"from {near_day(begin, today)}"
    return f"by {near_day(parcel.send_by, today)}" if parcel.send_by else "any day"


def state_of(parcel: Parcel, today: date) -> str:
    """blocked, packed, waiting (it may not travel yet), ready, part ready (some of it is short) or short."""
    if parcel.blocked:
        return "blocked"
    if parcel.packed:
        return "packed"
    if not parcel.ready:
        return "short"
    if parcel.send_from is not None and parcel.send_from > today:
        return "waiting"
    return "part ready" if parcel.short else "ready"


_LOOKS = {
    "blocked": "missed", "packed": "done", "waiting": "coming", "ready": "open", "part ready": "closing",
    "short": "held",
}  # fmt: skip


class ParcelList(Lines[ParcelRow]):
    """The parcels with a cursor on a line of one."""

    def __init__(self) -> None:
        super().__init__("dispatch")
        self.today = date.min

    def paint(self, row: ParcelRow, width: int) -> tuple[str, str]:
        if row.parcel is None:
            return fit(f" {row.title}", width), "place"
        state = state_of(row.parcel, self.today)
        if row.line is None:
            when = f"{'send' if state == 'waiting' else f'{state},'} {say_when(row.parcel, self.today)} "
            return fit(f" {row.parcel.who}", width - len(when)) + when, "place"
        line = row.line
        plant = f"{line.plant} {line.cultivar}".rstrip() + (f", {line.form}" if line.form else "")
        if row.pick is not None:
            tail = f"{fit(row.pick.lot, 9)} {fit(f'for {row.parcel.who}', 24)} "
            box = "[x]" if row.parcel.packed else "[ ]"
            return fit(f" {box} {row.pick.count:>5} {plant}", width - len(tail)) + tail, _LOOKS[state]
        lots = ", ".join(f"{pick.count} of {pick.lot}" for pick in line.picks)
        told = f"{lots}; {line.short} short" if lots and line.short else lots or f"{line.short} short"
        box = "[x]" if row.parcel.packed and line.picks else "[ ]"
        tail = fit(told, min(34, width // 2 - 8)) + " "
        look = "closing" if line.short and state in ("ready", "part ready", "packed") else _LOOKS[state]
        return fit(f" {box} {line.count:>5} {plant}", width - len(tail)) + tail, look


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
