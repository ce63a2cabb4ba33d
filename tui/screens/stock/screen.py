"""The stock screen: lots with what is on hand, promised, free and coming; the ledger of the one under the cursor."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual import on
from textual.binding import BindingType

from engine.needs.allotment import Allotment, StockLine
from engine.records.stock import Movement
from engine.views.lot_ledger import by_lot
from engine.views.stock import BY, is_plant, stock_view
from tui.cells import counted, day
from tui.screen import WAITS, Ends, FarmScreen
from tui.screens.stock.keys import KEYS, KEYS_OF
from tui.screens.stock.rows import Row, StockList, names_of, stock_rows, wanted

if TYPE_CHECKING:
    from engine.schedule.plan import Day

NARROW, ROOMY = 76, 100
"""Cells from which the head tells of seed and cuttings, and of how many lots."""


class StockScreen(FarmScreen):
    """What there is, with the keys to record what happens to it."""

    TITLE_OF_KEYS = "Keys: stock"
    HINT_FOR_ALL = "all of them: m move  Esc unmarks"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.by = BY[0]
        self.view: Allotment | None = None
        self._moves: dict[str, list[Movement]] | None = None

    def make_list(self) -> StockList:
        return StockList()

    @property
    def stock_list(self) -> StockList:
        return cast(StockList, self.list)

    @property
    def picked(self) -> Row | None:
        """The line under the cursor."""
        return self.stock_list.row

    def derive(self) -> None:
        by = self.by

        def make(day: Day) -> tuple[Allotment, dict[str, list[Movement]] | None]:
            records = day.nursery.records
            kept = records.fold is not None and records.fold.every
            moves = by_lot(records.stock.movements) if kept else None
            return stock_view(day, by), moves

        self.work(("stock", by), make, self._show)

    def _show(self, made: tuple[Allotment, dict[str, list[Movement]] | None]) -> None:
        self.view, self._moves = made
        self.draw()

    def draw(self) -> None:
        if self.view is None:
            return
        rows = stock_rows(self.view, self.by, lambda line: not self.words or wanted(line, self.words), self.words)
        self.stock_list.show(rows, self.by, (self.by, self.words))
        self.show_head()
        self.show_foot()
        self.call_after_refresh(self.show_head)  # when it is known how wide the list is

    def head(self) -> tuple[Ends, Ends]:
        if self.view is None:
            return ("Stock", WAITS), ("", "")
        lines = self.view.held()
        promised = sum(line.promised for line in lines)
        lots = f"{counted(len({line.lot for line in lines}), 'lot')}, " if self.size.width >= ROOMY else ""
        plants = sum(line.on_hand for line in lines if is_plant(line))
        rest = sum(line.on_hand for line in lines if not is_plant(line) and line.unit != "g")
        more = f", {rest} seed and cuttings" if rest and self.size.width >= NARROW else ""
        totals = f"{lots}{counted(plants, 'plant')}{more}, {promised} promised"
        width = self.list.scrollable_content_region.width or self.size.width
        short = sum(1 for need in self.view.needs if need.short)
        needs = f"{short} of {len(self.view.needs)} needs short" if self.view.needs else ""
        # The names stand over their columns, whatever stands beside the list.
        names = names_of(self.list.columns, self.list.wide(width)) + " " * max(0, self.size.width - 1 - width)
        return (f"Stock by {self.by}   {day(self.view.on, True)}", totals), (needs, names)

    def facts(self) -> Text:
        from tui.screens.stock.facts import facts_of

        if self.view is None:
            return Text()
        return facts_of(self.picked, self.app.house, self.view, self.moves, self.words)

    def moves(self, lot: str) -> list[Movement]:
        """The movements of a lot; those of all are found at once, when the first is asked for."""
        if self._moves is None:
            self._moves = by_lot(self.app.house.watched().stock.movements)
        return self._moves.get(lot, [])

    def lot_here(self) -> str:
        row = self.picked
        return row.line.lot if row is not None and row.line is not None else ""

    def hint(self) -> str:
        row = self.picked
        if row is None or row.line is None:
            return KEYS_OF[""]
        return KEYS_OF["going" if row.line.going else "lot" if row.line.on_hand else "coming"]

    def signs(self) -> str:
        return "? after a name: not certain  coming: how many are likely, and when"

    @on(StockList.Chosen)
    def _chosen(self) -> None:
        self.action_details()

    def action_by(self) -> None:
        """Group by the next of species, form and place; the cursor stays on its lot."""
        self.by = BY[(BY.index(self.by) + 1) % len(BY)]
        self.derive()

    def action_record(self, what: str) -> None:
        """Record what a key says. What each does stands in recording.py, which is read when it is first needed."""
        from tui.screens.stock.recording import RECORD, move_all

        if not (lines := [row.line for row in self.stock_list.marked_rows if row.line is not None]):
            RECORD[what](self)
        elif what == "move":
            move_all(self, lines)
        else:
            self.tell("this works on one lot only: Esc unmarks them")

    def action_walk(self) -> None:
        from tui.screens.stock.walk import start_walk

        assert self.view is not None
        here = self.picked.line if self.picked else None
        lines = [line for line in self.view.held() if wanted(line, self.words)]  # what is looked for is walked by
        start_walk(self, lines, here.place if here else "")

    def action_details(self) -> None:
        line = self.under_cursor(on_hand=False)
        if line is not None:
            from tui.forms.page import LotPage
            from tui.screens.stock.facts import trace_text

            house, lot = self.app.house, line.lot
            page = LotPage(Text(f"{line.name} · {lot}: {WAITS}"), self.action_mend)
            self.app.push_screen(page)
            self.work(("trace", lot), lambda _: trace_text(house, lot), page.show, whole=True)

    def action_yields(self) -> None:
        from tui.forms.page import PageScreen
        from tui.screens.stock.facts import yields_text

        house, page = self.app.house, PageScreen(Text(WAITS))
        self.app.push_screen(page)
        self.work("yields", lambda day: yields_text(house, day.plans, day.today), page.show, whole=True)

    def under_cursor(self, on_hand: bool = True) -> StockLine | None:
        """The lot under the cursor, where something of it is there; says so where not."""
        row = self.picked
        if row is None or row.line is None:
            self.tell("go to a lot first; r receives what comes in")
            return None
        if on_hand and not row.line.there:
            self.tell(f"there is none of {row.line.lot} yet")
            return None
        return row.line
