"""The lines of the needs: one need each, under its season or whom it is for; above them the lots in trouble."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from engine.needs.allotment import NeedLine
from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.needs import BY, COMING, COVERED, GONE, SHORT, Trouble, grouped, overdue, state_of
from tui.cells import counted, date_cell, fit
from tui.lines import Lines
from tui.paper.needs import plant_of
from tui.strips.covered import CELLS, covered_strip

STATE, COUNT, DATE, SURE = 10, 7, 10, 6
TROUBLES = "troubles"
UNKNOWN = "…"
"""How a need stands while that is worked out."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line: a need, a lot in trouble, or what stands over them. `known` is False until it is worked out."""

    key: str
    title: str = ""
    line: NeedLine | None = None
    trouble: Trouble | None = None
    known: bool = True

    @property
    def pickable(self) -> bool:
        return self.line is not None or self.trouble is not None

    @property
    def state(self) -> str:
        """`short 35`, `coming`, `covered`, `gone out`."""
        if self.line is None or not self.known:
            return UNKNOWN
        state = state_of(self.line)
        return f"{state} {self.line.short}" if state == SHORT else state


def need_rows(
    lines: Iterable[NeedLine],
    troubles: Sequence[Trouble],
    by: str,
    latitude: float,
    today: date,
    words: str,
    known: bool = True,
) -> list[Row]:
    """The list's lines, of what is meant by these words."""
    rows: list[Row] = []
    amiss = [each for each in troubles if _means(words, each.lot, (each.plant, each.reason, "trouble"))]
    if amiss:
        rows.append(Row(TROUBLES, f"{counted(len(amiss), 'lot')} in trouble"))
        rows += [Row(f"lot {each.lot}", trouble=each) for each in amiss]
    found = [line for line in lines if wanted(line, words)]
    for title, mine in grouped(found, by, latitude, today):
        short = sum(1 for line in mine if line.short) if known else 0
        told = f"{short} of {len(mine)} short" if short else counted(len(mine), "need")
        rows.append(Row(f"group {title}", f"{title} · {told}"))
        rows += [Row(f"need {line.need.id}", line=line, known=known) for line in mine]
    return rows


def wanted(line: NeedLine, words: str) -> bool:
    """Whether a need is meant by what was typed: plant, Latin name, id, for whom, form or state, in part."""
    need = line.need
    return _means(words, need.id, (plant_of(line), need.species, need.who, need.form, need.grade, state_of(line)))


def _means(words: str, name: str, names: tuple[str, ...]) -> bool:
    return plain(words) in plain(name) or matches(words, tuple(each for each in names if each))


def look_of(row: Row, today: date) -> str:
    """How pressing a line is, one of the looks of a line: its words say the same."""
    if row.line is None:
        return "missed" if row.trouble is not None else "place"
    if not row.known:
        return "not-yet"
    late = overdue(row.line, today)
    looks = {SHORT: "missed" if late else "closing", COMING: "coming", COVERED: "open", GONE: "done"}
    return looks[state_of(row.line)]


class NeedList(Lines[Row]):
    """The needs with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("needs")
        self.today, self.by = date.min, BY[0]

    def show(self, rows: list[Row], today: date, by: str) -> None:
        """Draw these lines as things stand on a day."""
        self.today, self.by = today, by
        self.put(rows)

    def paint(self, row: Row, width: int) -> tuple[str, str]:
        look = look_of(row, self.today)
        if row.trouble is not None:
            lot = row.trouble
            ids = ", ".join(f"{need.need.id} {need.short}" for need in lot.needs)
            told = f"short by it: {ids}" if ids else "no need is short by it"
            return fit(f" {lot.lot} {lot.plant}: {lot.reason}; {told}", width), look
        room = width - 1 - STATE - COUNT - 1 - CELLS - DATE - SURE - 1
        whom = 0 if self.by == "whom" or room < 30 else min(26, room * 2 // 5)
        names = f"{'by':>{DATE}}{'sure':>{SURE}} {fit('for', whom) if whom else ''}"
        if len(row.title) < room - whom + STATE:  # the title is never cut short
            names = f"{'number':>{COUNT}} {'there':<{CELLS}}{names}"
        if row.key == TROUBLES:
            return fit(f" {row.title}", width), look
        if row.line is None:
            return f"{fit(f' {row.title}', width - len(names))}{names}", look
        line, need = row.line, row.line.need
        signs = covered_strip(line) if row.known else " " * CELLS
        when = date_cell(need.by)
        head = f" {row.state:<{STATE}}{fit(plant_of(line), room - whom)}"
        sure = f"{int(need.sure * 1000 + 1e-6) / 10:g}%"
        asked = fit(need.who or need.id, whom) if whom else ""
        tail = f"{need.count:>{COUNT}} {signs}{when:>{DATE}}{sure:>{SURE}} {asked}"
        return fit(head + tail, width), look
