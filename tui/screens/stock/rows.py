"""The lines of the stock's list: what each stands under, the lots, the needs, and what does not add up."""

from __future__ import annotations

from collections.abc import Callable

from engine.needs.allotment import Allotment, NeedLine, StockLine
from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.stock import group_of
from tui.cells import fit
from tui.lines import Lines
from tui.paper.stock import say_need, what, when

COLUMNS = f"{'on hand':>8}{'going':>6}{'promised':>9}{'free':>6}{'coming':>8} ready "


@dataclass(frozen=True, slots=True)
class Row:
    """One line. `key` stays the same while the thing does, so that the cursor finds it again."""

    kind: str
    key: str
    text: str = ""
    line: StockLine | None = None
    need: NeedLine | None = None
    cells: str = ""

    @property
    def pickable(self) -> bool:
        return self.kind != "group"

    @property
    def markable(self) -> bool:
        return self.line is not None and bool(self.line.on_hand or self.line.going)


def stock_rows(view: Allotment, by: str, keep: Callable[[StockLine], bool], words: str) -> list[Row]:
    """The list's lines, grouped by species, form or place; only the lots that `keep` wants."""
    rows: list[Row] = []
    group = None
    kept = [line for line in view.lines if keep(line)]
    for line in kept:
        if (here := group_of(line, by)) != group:
            group = here
            mine = [x for x in kept if group_of(x, by) == here]
            held, going, promised = (sum(getattr(x, of) for x in mine) for of in ("on_hand", "going", "promised"))
            free = sum(x.free for x in mine)
            coming = sum(x.coming.likely for x in mine if x.coming is not None)
            rows.append(Row("group", f"group {here}", here, cells=_cells(held, going, promised, free, coming, "")))
        rows.append(Row("lot", key_of(line), line=line))
    if not words:
        if view.needs:
            rows.append(Row("group", "needs", "needs"))
            rows += [Row("need", f"need {need.need.id}", say_need(need), need=need) for need in view.needs]
        if view.troubles:
            rows.append(Row("group", "troubles", "does not add up"))
            rows += [Row("trouble", f"trouble {told}", told) for told in view.troubles]
    return rows


def key_of(line: StockLine) -> str:
    return f"{line.lot}|{line.form}|{line.grade}|{line.place}"


def wanted(line: StockLine, words: str) -> bool:
    """Whether a lot is meant by what was typed: plant, Latin name, lot, form, grade or place, in part."""
    names = (line.name, line.species, line.form, line.grade, line.place)
    return plain(words) in plain(line.lot) or matches(words, tuple(n for n in names if n))


def row_text(row: Row, by: str, width: int) -> str:
    """One line as text, exactly `width` cells."""
    if row.kind == "group":
        return fit(f" {row.text}", width - len(row.cells)) + row.cells
    if row.line is None:
        return fit(f"   {row.text}", width)
    line = row.line
    coming = line.coming
    likely, ready = (coming.likely, when(coming)) if coming else (0, "")
    tail = _cells(line.on_hand, line.going, line.promised, line.free, likely, ready)
    lot = max(6, min(len(line.lot), 12))
    return fit(f"   {fit(line.lot, lot)} {what(line, by)}", width - len(tail)) + tail


def look_of(row: Row) -> str:
    """How a line looks; its numbers and words say the same."""
    if row.line is None:
        return {"group": "place", "trouble": "missed", "need": "open"}[row.kind] if row.need is None else (
            "closing" if row.need.short else "open")  # fmt: skip
    if not row.line.on_hand and not row.line.going:
        return "coming"
    if row.line.doubtful:
        return "held"
    return "open" if row.line.free else "done"


def _cells(held: int, going: int, promised: int, free: int, coming: int, ready: str) -> str:
    """The numbers under COLUMNS."""
    return f"{held or '-':>8}{going or '':>6}{promised or '':>9}{free if held else '':>6}{coming or '':>8} {ready:<6}"


class StockList(Lines[Row]):
    """The lots with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("stock")
        self.by = "species"

    def show(self, rows: list[Row], by: str) -> None:
        self.by = by
        self.put(rows)

    def paint(self, row: Row, width: int) -> tuple[str, str]:
        return row_text(row, self.by, width), look_of(row)
