"""The cold store: each seed lot's warm and cold treatment as a bar, what to do with it, and a key for what was seen."""

from __future__ import annotations

from typing import ClassVar, cast

from rich.text import Text
from textual import on
from textual.binding import BindingType

from engine.views.cold import ColdLot, cold_view
from tui.cells import counted, dated
from tui.screen import Ends, FarmScreen
from tui.screens.cold.facts import facts_of
from tui.screens.cold.keys import KEYS
from tui.screens.cold.rows import ColdList, cold_rows
from tui.strips.treatment import LEGEND


class ColdScreen(FarmScreen):
    """Every seed lot under treatment, and those that soon will be."""

    TITLE_OF_KEYS = "Keys: cold store"
    HINT_FOR_ALL = "n nothing  r radicles  m mould  y dry  d done  Esc unmarks"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.lots: tuple[ColdLot, ...] = ()

    def make_list(self) -> ColdList:
        return ColdList()

    @property
    def board(self) -> ColdList:
        return cast(ColdList, self.list)

    def derive(self) -> None:
        app = self.app
        self.lots = cold_view(app.day())
        self.draw()

    def draw(self) -> None:
        self.board.show(cold_rows(self.lots, self.words), self.app.today, self.words)
        self.show_head()

    def head(self) -> tuple[Ends, Ends]:
        today = self.app.today
        begun = [lot for lot in self.lots if lot.begun and not lot.lost]
        due = sum(lot.next_look == today for lot in begun)
        coming = sum(not lot.begun for lot in self.lots)
        run = sum(lot.radicles is not None for lot in begun)
        lots = f"{counted(len(begun), 'lot')} under treatment"
        told = [f"{run} with radicles"] if run else []
        told += [f"{coming} to come"] if coming else []
        looks = f"{counted(due, 'look')} due" if due else "no look due"
        return ("Cold store", f"{today:%a} {dated(today)}"), (", ".join((lots, *told)), looks)

    def facts(self) -> Text:
        return facts_of(self._lot, self.app.today)

    def lot_here(self) -> str:
        return self._lot.lot.id if self._lot else ""

    def hint(self) -> str:
        lot = self._lot
        if lot is None or lot.lost:
            return "o outage  t note" if lot else "o outage"
        looks = "n nothing  r radicles  m mould  y dry  b bone dry  " if lot.begun else ""
        return f"{looks}d {lot.following or 'done' if lot.last_phase else 'done'}  o outage"

    def signs(self) -> str:
        return LEGEND

    @property
    def _lot(self) -> ColdLot | None:
        row = self.board.row
        return row.lot if row else None

    def _marked(self) -> list[ColdLot]:
        """The lots that are marked."""
        return [row.lot for row in self.board.marked_rows if row.lot is not None]

    def _picked(self) -> ColdLot | None:
        """The lot under the cursor; says so where there is none."""
        if self._lot is None:
            self.tell("no lot is under treatment")
        return self._lot

    def action_look(self, finding: str) -> None:
        from tui.screens.cold import recording

        if marked := self._marked():
            recording.look_all(self, marked, finding)
        elif (lot := self._picked()) is not None:
            recording.look(self, lot, finding)

    def action_done(self) -> None:
        from tui.screens.cold import recording

        if marked := self._marked():
            recording.done_all(self, marked)
        elif (lot := self._picked()) is not None:
            recording.done(self, lot)

    def action_pot_run(self) -> None:
        from tui.forms.pot_run import ask_pot_run

        if (lot := self._picked()) is not None:
            ask_pot_run(self, lot.lot.id, lot.plant)

    def action_count(self) -> None:
        from tui.forms.count import ask_count

        if (lot := self._picked()) is not None:
            ask_count(self, lot.lot.id, lot.plant)

    def action_note(self) -> None:
        from tui.screens.cold import recording

        if marked := self._marked():
            recording.note_all(self, marked)
        elif (lot := self._picked()) is not None:
            recording.note(self, lot)

    def action_outage(self) -> None:
        from tui.screens.cold import recording

        lot = self._lot
        recording.outage(self, lot.place if lot else self.app.house.farm.place_for("cold store"))

    @on(ColdList.Chosen)
    def _chosen(self) -> None:
        self.action_details()

    def action_details(self) -> None:
        lot = self._picked()
        if lot is None:
            return
        from tui.forms.page import LotPage
        from tui.screens.week.chain import chain_text

        self.app.push_screen(LotPage(chain_text(self.app.house, lot.plan, self.app.today), self.action_mend))
