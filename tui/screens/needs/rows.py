"""The lines of the needs: one need each, under its season or whom it is for; above them the lots in trouble."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from datetime import date

from engine.needs.need_lines import NeedLine
from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.reading.said import percent_given
from engine.views.needs import BY, COMING, COVERED, GONE, SHORT, Trouble, grouped, overdue, state_of
from tui.cells import counted, date_cell, fit, in_words
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines
from tui.paper.needs import plant_of
from tui.strips.covered import CELLS, covered_strip

NAMES = ("number", "there", "by", "sure", "for")
"""What stands over the columns behind the plant."""
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
    found = [each for each in lines if wanted(each, words)]
    for title, mine in grouped(found, by, latitude, today):
        short = sum(1 for each in mine if each.short) if known else 0
        told = f"{short} of {len(mine)} short" if short else counted(len(mine), "need")
        rows.append(Row(f"group {title}", f"{title} · {told}"))
        rows += [Row(f"need {each.need.id}", line=each, known=known) for each in mine]
    return rows


def wanted(asked: NeedLine, words: str) -> bool:
    """Whether a need is meant by what was typed: plant, Latin name, id, for whom, form or state, in part."""
    need = asked.need
    return _means(words, need.id, (plant_of(asked), need.species, need.who, need.form, need.grade, state_of(asked)))


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

    def show(self, rows: list[Row], today: date, by: str, order: Hashable = None) -> None:
        """Draw these lines as things stand on a day."""
        self.today, self.by = today, by
        cells = [self._cells(row) for row in rows if row.line is not None]
        whom = by != "whom"
        self.columns = (
            Column("state", widest((each["state"] for each in cells), 8), coloured=True),
            Column("plant", widest((each["plant"] for each in cells), 12), gives=2, least=8),
            Column("number", widest((each["number"] for each in cells), 6), right=True),
            Column("there", CELLS, coloured=True),
            Column("by", widest((each["by"] for each in cells), 2), right=True),
            Column("sure", widest((each["sure"] for each in cells), 4), right=True),
            Column("for", widest((each["for"] for each in cells), 3) if whom and cells else 0, gives=1),
        )
        self.put(rows, order)

    def _cells(self, row: Row) -> dict[str, str]:
        assert row.line is not None
        need = row.line.need
        return {
            "state": row.state, "plant": plant_of(row.line), "number": str(need.count),
            "there": covered_strip(row.line) if row.known else "", "by": date_cell(need.by),
            "sure": percent_given(int(need.sure * 1000 + 1e-6) / 1000), "for": need.who or need.id,
        }  # fmt: skip

    def paint(self, row: Row, width: int) -> tuple[str | Sequence[Part], str]:
        look = look_of(row, self.today)
        if row.trouble is not None:
            lot = row.trouble
            ids = ", ".join(f"{need.need.id} {need.short}" for need in lot.needs)
            told = f"short by it: {ids}" if ids else "no need is short without it"
            return in_words(f" {lot.lot} {lot.plant}: {lot.reason}; {told}", width), look
        if row.key == TROUBLES:
            return fit(f" {row.title}", width), look
        wide = self.wide(width)
        if row.line is not None:
            return laid(self.columns, wide, self._cells(row)), look
        names = "".join(text for text, _ in laid(self.columns[2:], wide, {name: name for name in NAMES}))
        over = len(row.title) + 2 - (width - len(names))
        if over > 0:  # neither the title nor a name is cut short
            first, kept = names[:over], names[over:]
            part = len(kept) - len(kept.lstrip(" ")) if first.endswith(" ") else len(kept.split(" ", 1)[0])
            names = " " * part + kept[part:]
        return fit(f" {row.title}", width - len(names)) + names, look
