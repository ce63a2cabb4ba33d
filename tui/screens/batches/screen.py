"""The batches: every lot by the season of its start, its year as a strip, its life on a page, and new ones."""

from __future__ import annotations

from typing import ClassVar, cast

from rich.text import Text
from textual import on
from textual.binding import BindingType

from engine.views.batches import BatchLine, batches_view
from tui.cells import counted, dated
from tui.screen import Ends, FarmScreen
from tui.screens.batches.facts import facts_of, show_life
from tui.screens.batches.keys import KEYS
from tui.screens.batches.rows import BatchList, batch_rows
from tui.strips.life import LEGEND


class BatchesScreen(FarmScreen):
    """Every lot that the farm raises, has raised, or means to."""

    TITLE_OF_KEYS = "Keys: batches"
    HINT_FOR_ALL = "all of them: t note  Esc unmarks"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[BatchLine, ...] = ()

    def make_list(self) -> BatchList:
        return BatchList()

    @property
    def board(self) -> BatchList:
        return cast(BatchList, self.list)

    def derive(self) -> None:
        self.work("batches", batches_view, self._show)

    def _show(self, lines: tuple[BatchLine, ...]) -> None:
        self.lines = lines
        self.draw()

    def draw(self) -> None:
        self.board.show(batch_rows(self.lines, self.words), self.app.today, self.words)
        self.show_head()

    def head(self) -> tuple[Ends, Ends]:
        today = self.app.today
        going = [line for line in self.lines if not line.over]
        begun = sum(bool(line.lot.done) for line in going)
        missed = sum(line.state == "missed" for line in going)
        lots = f"{counted(len(going), 'lot')}, {begun} under way, {len(going) - begun} to start"
        over = len(self.lines) - len(going)
        told = [f"{missed} missed"] if missed else []
        told += [f"{over} done or dropped"] if over else []
        return ("Batches", f"{today:%a} {dated(today)}"), (lots, ", ".join(told))

    def facts(self) -> Text:
        return facts_of(self._line, self.app.house.farm, self.app.today)

    def lot_here(self) -> str:
        return self._line.lot.id if self._line else ""

    def hint(self) -> str:
        line = self._line
        if line is None:
            return "b new batch"
        edit = "e correct  " if line.lot.done or line.over else "e change  "
        count = "k count  " if line.lot.done and not line.over else ""
        return f"Enter open  b new batch  {edit}{count}x drop  t note"

    def states(self) -> tuple[tuple[str, str], ...]:
        from tui.forms.help import STATES

        return STATES

    def signs(self) -> str:
        return LEGEND

    @property
    def _line(self) -> BatchLine | None:
        row = self.board.row
        return row.line if row else None

    def _picked(self) -> BatchLine | None:
        """The lot under the cursor; says so where there is none."""
        if self._line is None:
            self.tell("no lot is here: b begins a new batch")
        return self._line

    def action_new(self) -> None:
        from tui.screens.batches.form import BatchForm

        self.app.push_screen(BatchForm(self))

    def action_edit(self) -> None:
        from tui.screens.batches import recording

        if (line := self._picked()) is not None:
            recording.edit(self, line)

    def action_give_up(self) -> None:
        from tui.screens.batches import recording

        if (line := self._picked()) is not None:
            recording.give_up(self, line)

    def action_count(self) -> None:
        from tui.forms.count import ask_count

        if (line := self._picked()) is not None:
            ask_count(self, line.lot.id, line.plant)

    def action_note(self) -> None:
        from tui.forms.marked_lines import note_all
        from tui.screens.batches import recording

        if self.board.marked:
            note_all(self, (row.line.lot.id for row in self.board.marked_rows if row.line))
        elif (line := self._picked()) is not None:
            recording.note(self, line)

    @on(BatchList.Chosen)
    def _chosen(self) -> None:
        self.action_details()

    def action_details(self) -> None:
        if (line := self._picked()) is not None:
            show_life(self, line)
