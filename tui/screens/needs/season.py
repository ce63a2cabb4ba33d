"""The year's plan on the screen: worked out in a thread with its progress, then accepted or refused line by line."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Label, Static

from engine.acts.action import Action, Refused
from engine.acts.batches import new_batch
from engine.journal.entry import Entry
from engine.journal.store import JournalError
from engine.needs.batches_to_start import batches_for
from engine.needs.season_plan import Chosen, Season, Unmet, season
from engine.reading.frozen import dataclass
from engine.reading.said import percent
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day
from tui.cells import counted, fit, hours_cell, hours_said
from tui.forms.refused_field import show_refusal
from tui.in_a_thread import work_out
from tui.lines import Lines
from tui.own_faults import Netted
from tui.paper.season import say_chosen
from tui.writing import write_all

if TYPE_CHECKING:
    from tui.farm_app import FarmApp
    from tui.writing import Recorder

OPEN, ACCEPTED, REFUSED = "", "planned", "refused"


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One line: a need with the way chosen for it and what became of it, or a need that cannot be met."""

    chosen: Chosen | None = None
    unmet: Unmet | None = None
    state: str = OPEN

    @property
    def key(self) -> str:
        if self.chosen is not None:
            return self.chosen.line.need.id
        return f"unmet {self.unmet.line.need.id}" if self.unmet else ""

    @property
    def pickable(self) -> bool:
        return True


class SeasonList(Lines[SeasonRow]):
    """The plan line by line."""

    def __init__(self) -> None:
        super().__init__("season")

    def paint(self, row: SeasonRow, width: int) -> tuple[str, str]:
        if row.chosen is None:
            assert row.unmet is not None
            line = row.unmet.line
            return fit(f" not met {line.need.id}: {line.short} {line.plant}: {row.unmet.why}", width), "missed"
        line, way = row.chosen.line, row.chosen.way
        count = sum(n for _, n in row.chosen.parts)
        tail = f"{count:>6} {percent(way.chance):>5} {hours_cell(way.hours):>8} "
        plant = f"{line.plant} {line.need.cultivar}".rstrip()
        head = f" {row.state:<8}{fit(f'{line.short} {plant}', max(12, width // 3))} {way.title}"
        look = {OPEN: "open", ACCEPTED: "done", REFUSED: "later"}[row.state]
        return fit(head, width - len(tail)) + tail, look


class SeasonScreen(Netted, ModalScreen[None]):
    """One plan for all needs. Each way that is accepted becomes a batch, or two, in one append of its own."""

    app: FarmApp
    CSS_PATH = "form.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "leave", "leave"),
        Binding("a", "accept", "accept"),
        Binding("x", "refuse", "refuse"),
        Binding("A", "accept_all", "accept all that are left"),
    ]

    def __init__(self, parent: Recorder) -> None:
        super().__init__()
        self._farm_screen = parent
        self.rows: list[SeasonRow] = []
        self.found: Season | None = None

    def compose(self) -> ComposeResult:
        with Vertical(id="plan"):
            yield Label(Text("One plan for all needs"), classes="title")
            yield Static(Text("working out …"), id="plan-head")
            yield SeasonList()
            yield Static(id="plan-told")
            yield Label("", classes="refusal")
            yield Label("a accept   x refuse   A accept all   Esc back", classes="hint")

    def on_mount(self) -> None:
        self.list.focus()
        app = self.app

        def told(done: int, of: int) -> None:
            app.call_from_thread(self._progress, done, of)

        def make(day: Day) -> Season:
            return season(day, told=told)

        work_out(self, "season", make, self._show)

    @property
    def list(self) -> SeasonList:
        return self.query_one(SeasonList)

    def _progress(self, done: int, of: int) -> None:
        if self.is_attached:
            self.query_one("#plan-head", Static).update(Text(f"working out … {done} of {counted(of, 'need')}"))

    def _show(self, found: Season) -> None:
        self.found = found
        self.rows = [*(SeasonRow(each) for each in found.ways), *(SeasonRow(unmet=each) for each in found.unmet)]
        self._draw()

    def _draw(self) -> None:
        found = self.found
        assert found is not None
        self.list.put(self.rows)
        cost = "" if found.cost is None else f", {found.cost:,.2f} {self.app.house.farm.currency}".rstrip()
        done = sum(row.state == ACCEPTED for row in self.rows)
        told = f"{counted(len(found.ways), 'need')} met, {len(found.unmet)} not; {hours_said(found.hours)}{cost}"
        if not self.rows:
            told = "no need is short"
        self.query_one("#plan-head", Static).update(Text(f"{told}; {done} planned" if done else told))

    def on_lines_moved(self, event: SeasonList.Moved) -> None:
        event.stop()
        row = self.list.row
        if row is None:
            return
        told = say_chosen(row.chosen) if row.chosen is not None else row.unmet.why if row.unmet else ""
        self.query_one("#plan-told", Static).update(Text("\n".join(wrap(told, max(40, self.size.width - 10)))))

    def on_lines_chosen(self, event: SeasonList.Chosen) -> None:
        event.stop()
        self.action_accept()

    def action_accept(self) -> None:
        """Record the way under the cursor, and go on to the next."""
        at = self.list.cursor
        if at < len(self.rows) and self._accept(at):
            self._on()

    def action_accept_all(self) -> None:
        """Record every way that is neither accepted nor refused; it stops at the first that is refused by the rules."""
        for at, row in enumerate(self.rows):
            if row.chosen is not None and row.state == OPEN and not self._accept(at):
                return

    def action_refuse(self) -> None:
        at = self.list.cursor
        row = self.rows[at] if at < len(self.rows) else None
        if row is not None and row.chosen is not None and row.state != ACCEPTED:
            self.rows[at] = SeasonRow(row.chosen, state=OPEN if row.state == REFUSED else REFUSED)
            self._draw()
            self._on()

    def _on(self) -> None:
        at = self.list.cursor
        following = next((row for row in self.rows[at + 1 :] if row.state == OPEN), None)
        if following is not None:
            self.list.go_to(following.key)

    def _accept(self, at: int) -> bool:
        chosen = self.rows[at].chosen
        if chosen is None or self.rows[at].state == ACCEPTED:
            return False
        line, today = chosen.line, self.app.today

        def make(nursery: Nursery, _: Sequence[Entry]) -> list[Action]:
            if all(need.id != line.need.id for need in nursery.farm.needs):
                raise Refused(f"{line.need.id} is withdrawn", "another device has withdrawn it")
            return [new_batch(nursery, wanted, today) for wanted in batches_for(nursery, line, chosen.way, today)]

        try:
            write_all(self._farm_screen, make)
        except (Refused, JournalError) as refusal:
            show_refusal(self, refusal)
            return False
        self.rows[at] = SeasonRow(chosen, state=ACCEPTED)
        self._draw()
        return True

    def action_leave(self) -> None:
        self.dismiss(None)
