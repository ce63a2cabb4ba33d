"""The lines of the site: one mark each, by date."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.protocols.names import matches
from engine.reading.frozen import dataclass
from engine.views.site import SiteMark
from tui.cells import away_cell, counted, day, fit
from tui.lines import Lines

NAME, DAY, AWAY, RESTS, ROOM = 25, 10, 11, 8, 20


@dataclass(frozen=True, slots=True)
class MarkRow:
    """One line: a mark at its chance."""

    mark: SiteMark
    again: int = 0
    """How often the mark has come in that year before."""

    @property
    def key(self) -> str:
        return f"{self.name} {self.again}"

    @property
    def name(self) -> str:
        mark = self.mark.mark
        return mark.name if mark.chance is None else f"{mark.name} ({mark.chance:.0%})"

    @property
    def pickable(self) -> bool:
        return True


class MarkList(Lines[MarkRow]):
    """The marks of a year with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("site")
        self.today = date.min

    def show(self, rows: list[MarkRow], today: date) -> None:
        self.today = today
        self.put(rows)

    def paint(self, row: MarkRow, width: int) -> tuple[str, str]:
        mark = row.mark.mark
        when = f"{mark.day:%a} {day(mark.day)}" if mark.day else "never"
        acts = len(row.mark.resting)
        rests = counted(acts, "task") if acts else ""
        state = (
            "seen" if row.mark.seen else "past" if mark.day and mark.day < self.today else "" if mark.day else "never"
        )
        there = f"{when:>{DAY}} {away_cell(mark.day, self.today):>{AWAY}}"
        line = f" {state:<5} {fit(row.name, NAME)} {there} {rests:>{RESTS}}  "
        look = "open" if row.mark.seen else "later" if state else "coming" if not acts else "open"
        told = mark.set_by if width - len(line) >= ROOM else ""  # a few letters of it say nothing; the facts have it
        return fit(f"{line}{told}", width), look


def mark_rows(marks: Sequence[SiteMark], words: str) -> list[MarkRow]:
    """The marks that are meant by these words, by name or by an act that rests on them."""
    rows: list[MarkRow] = []
    for mark in marks:
        if matches(words, (mark.mark.name, *(f"{act.step} {act.lot}" for act in mark.resting))):
            again = sum(
                (row.mark.mark.name, row.mark.mark.chance) == (mark.mark.name, mark.mark.chance) for row in rows
            )
            rows.append(MarkRow(mark, again))
    return rows
