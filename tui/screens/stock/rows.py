"""The lines of the stock's list: what each stands under, the lots, the needs, and what does not add up."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence

from engine.needs.allotment import Allotment, StockLine
from engine.needs.need_lines import NeedLine
from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.views.stock import group_of, summed
from tui.cells import fit, in_words
from tui.columns import Column, Part, laid, widest
from tui.lines import Lines
from tui.paper.stock import say_need, what, when

NUMBERS = ("on hand", "going", "promised", "free", "coming", "ready")
"""The columns of numbers, and when what is coming is ready."""


MOST_ASKED = 3000
"""So many lines are asked how wide they are."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line. `key` stays the same while the thing does, so that the cursor finds it again."""

    kind: str
    key: str
    text: str = ""
    line: StockLine | None = None
    need: NeedLine | None = None
    cells: tuple[str, ...] = ()

    @property
    def pickable(self) -> bool:
        return self.kind != "group"

    @property
    def markable(self) -> bool:
        return self.line is not None and bool(self.line.on_hand or self.line.going)


def stock_rows(view: Allotment, by: str, keep: Callable[[StockLine], bool], words: str) -> list[Row]:
    """The list's lines, grouped by species, form or place; only the lots that `keep` wants."""
    rows: list[Row] = []
    groups: dict[str, list[StockLine]] = {}
    for line in view.lines:
        if keep(line):
            groups.setdefault(group_of(line, by), []).append(line)
    for here, mine in groups.items():
        alike, what_of = summed(mine)
        held, going, promised = (sum(getattr(x, of) for x in alike) for of in ("on_hand", "going", "promised"))
        free = sum(x.free for x in alike)
        coming = sum(x.coming.likely for x in mine if x.coming is not None)
        title = f"{here}, {what_of}" if what_of and by != "form" else here
        rows.append(Row("group", f"group {here}", title, cells=_cells(held, going, promised, free, coming, "")))
        rows += [Row("lot", key_of(line), line=line) for line in mine]
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


def columns_of(rows: Sequence[Row], by: str) -> tuple[Column, ...]:
    """The columns, as wide as what these lines put into them; so many that they are all of a kind are not all asked."""
    lines = [row.line for row in rows[:MOST_ASKED] if row.line is not None]
    cells = [cells_of(row) for row in rows[:MOST_ASKED] if row.cells or row.line is not None]
    return (
        Column("lot", widest((line.lot for line in lines), 5) + 2),
        Column("what", widest(what(line, by) for line in lines), gives=1, least=10),
        *(
            Column(name, widest((each[k] for each in cells), len(name)), right=True, coloured=name == "free")
            for k, name in enumerate(NUMBERS[:-1])
        ),
        Column(NUMBERS[-1], widest((each[-1] for each in cells), len(NUMBERS[-1])), gives=2),
    )


def names_of(columns: Sequence[Column], wide: Mapping[str, int]) -> str:
    """The names of the numbers, over their columns."""
    return "".join(text for text, _ in laid(columns[2:], wide, {name: name for name in NUMBERS}))


def row_parts(row: Row, by: str, columns: Sequence[Column], wide: Mapping[str, int], width: int) -> str | list[Part]:
    """One line, exactly `width` cells."""
    numbers = dict(zip(NUMBERS, cells_of(row), strict=False))
    if row.kind == "group":
        tail = "".join(text for text, _ in laid(columns[2:], wide, numbers)) if row.cells else ""
        return fit(f" {row.text}", width - len(tail)) + tail
    if row.line is None:
        return in_words(f"   {row.text}", width)
    told = in_words(what(row.line, by), wide["what"])
    parts = laid(columns, wide, {**numbers, "lot": f"  {row.line.lot}", "what": told})
    return [*parts, (" " * (width - sum(len(text) for text, _ in parts)), False)]


def cells_of(row: Row) -> tuple[str, ...]:
    """What stands under NUMBERS."""
    if row.line is None:
        return row.cells
    coming = row.line.coming
    likely, ready = (coming.likely, when(coming)) if coming else (0, "")
    return _cells(row.line.on_hand, row.line.going, row.line.promised, row.line.free, likely, ready)


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


def _cells(held: int, going: int, promised: int, free: int, coming: int, ready: str) -> tuple[str, ...]:
    """The numbers under NUMBERS."""
    return f"{held or '-'}", f"{going or ''}", f"{promised or ''}", f"{free if held else ''}", f"{coming or ''}", ready


class StockList(Lines[Row]):
    """The lots with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("stock")
        self.by = "species"

    def show(self, rows: list[Row], by: str, order: Hashable = None) -> None:
        self.by = by
        self.columns = columns_of(rows, by)
        self.put(rows, order)

    def paint(self, row: Row, width: int) -> tuple[str | Sequence[Part], str]:
        return row_parts(row, self.by, self.columns, self.wide(width), width), look_of(row)
