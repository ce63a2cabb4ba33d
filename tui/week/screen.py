"""The week screen: tasks by place, the facts of the one under the cursor, and a key for everything one does."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from engine.views.week import Task, Week, week_view
from tui.sheets import day, frost_line, hours_line, light_line
from tui.week.board import Board
from tui.week.rows import board_rows, wanted

if TYPE_CHECKING:
    from tui.app import WidgerApp

KEYS_OF = {
    "act": "d done  h hold  l later  x drop  t note",
    "missed": "a next chance  d done  x drop  t note",
    "look": "n nothing  r radicles  m mould  y dry  t note",
    "looks": "enter open them  n nothing in all",
    "standing": "d done today",
}


class WeekScreen(Screen[None]):
    """The board of one week, with the keys to record what happens."""

    app: WidgerApp
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "record('done')", "done: how many came through", id="done", tooltip="record the task done"),
        Binding("n", "record('look', 'nothing')", "look: nothing to see", id="look_nothing"),
        Binding("r", "record('look', 'radicles')", "look: radicles out", id="look_radicles"),
        Binding("m", "record('look', 'mould')", "look: mould", id="look_mould"),
        Binding("y", "record('look', 'dry')", "look: dry", id="look_dry"),
        Binding("h", "record('hold')", "hold it, with a reason; again: go on", id="hold"),
        Binding("l", "record('later')", "not now: a later day within its window", id="later"),
        Binding("a", "record('accept')", "accept the next chance of what was missed", id="accept"),
        Binding("x", "record('drop')", "drop the task, or the whole lot", id="drop"),
        Binding("t", "record('note')", "write a note on the lot", id="note"),
        Binding("s", "record('saw')", "seen: a mark of the season", id="saw"),
        Binding("u", "record('undo')", "undo the latest entry", id="undo"),
        Binding("left", "week(-1)", "the week before", id="week_before"),
        Binding("right", "week(1)", "the week after", id="week_after"),
        Binding("w", "this_week", "back to this week", id="this_week"),
        Binding("c", "cover", "wet day: only what is under cover; again: all", id="cover"),
        Binding("slash", "find", "find: plant, lot, step or place", key_display="/", id="find"),
        Binding("enter", "details", "open: the lot's whole chain", id="details", show=False),
        Binding("v", "app.light_or_dark", "light or dark", id="light_or_dark"),
        Binding("question_mark", "keys", "these keys", key_display="?", id="keys"),
        Binding("q", "app.quit", "quit", id="quit"),
        Binding("escape", "clear_find", "all tasks again", show=False, id="clear_find"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.day: date | None = None  # a day of the week shown; None: the running week
        self.under_cover = False
        self.words = ""
        self.opened: frozenset[str] = frozenset()
        self.week: Week | None = None
        self.said = ""
        self._painted = False

    def compose(self) -> ComposeResult:
        yield Static(id="head")
        with Container(id="main"):
            yield Board()
            with VerticalScroll(id="panel", can_focus=False):
                yield Static(id="facts")
        yield Static(id="foot")

    def on_mount(self) -> None:
        self.board = self.query_one(Board)
        self.board.focus()
        if problems := self.app.problem_count():
            self.said = f"{problems} problem{'s' if problems > 1 else ''}: `widger check` tells"
        self.derive()

    # -- showing

    def derive(self) -> None:
        """Make the board anew from the farm and its journal."""
        app = self.app
        self.week = week_view(app.house.nursery, app.plans(), app.today, self.day)
        self._draw()

    def _draw(self) -> None:
        assert self.week is not None
        self.board.show(board_rows(self.week, self.opened, self._kept), self.week, self.opened)
        self._head()

    def _kept(self, task: Task) -> bool:
        return (task.under_cover or not self.under_cover) and wanted(task, self.words)

    def _head(self) -> None:
        week = self.week
        assert week is not None
        width = max(40, self.size.width - 2)
        here = "" if week.start <= week.today <= week.end else "  (w: this week)"
        title = f"Week {week.start.isocalendar().week}   {week.start:%a} {day(week.start)} - "
        title += f"{week.end:%a} {day(week.end, True)}{here}"
        second = frost_line(week) if week.frost else "no frost here"
        text = Text(_ends(title, light_line(week), width), style="bold")
        text.append("\n" + _ends(second, hours_line(week), width), style="not bold")
        self.query_one("#head", Static).update(text)

    def _foot(self) -> None:
        row = self.board.row
        kind = ""
        if row is not None and row.kind in ("task", "ahead"):
            kind = "missed" if row.state == "missed" else row.tasks[0].kind
        elif row is not None:
            kind = row.kind
        flags = [f for f in ("under cover" if self.under_cover else "", f"/{self.words}" if self.words else "") if f]
        left = self.said or KEYS_OF.get(kind, "")
        if flags:
            left = f"[{', '.join(flags)}] {left}"
        undo = "u undo  " if self.said and self.app.can_undo() else ""
        right, width = f"{undo}? keys", max(40, self.size.width - 2)
        # What was said is never cut short: it takes more lines, and the keys' line gives way.
        long = bool(self.said) and len(left) + len(right) + 2 > width
        self.query_one("#foot", Static).update(Text(left if long else _ends(left, right, width)))

    @on(Board.Moved)
    def _moved(self) -> None:
        self._foot()
        self.said = ""
        if self._painted:
            self._facts()
        else:  # the board first, the facts a frame later
            self._painted = True
            self.call_after_refresh(self._facts)

    def _facts(self) -> None:
        from tui.week.facts import facts_of

        assert self.week is not None
        self.query_one("#facts", Static).update(facts_of(self.board.row, self.app.house.farm, self.week))
        self.query_one("#panel", VerticalScroll).scroll_home(animate=False)

    @on(Board.Chosen)
    def _chosen(self, message: Board.Chosen) -> None:
        if message.row.kind == "looks":
            self.opened ^= {message.row.text}
            self._draw()
        else:
            self.action_details()

    def on_resize(self) -> None:
        if self.week is not None:
            self._head()
            self._foot()

    def tell(self, words: str) -> None:
        """Say what has just happened in the line at the foot, until the cursor moves."""
        self.said = words
        self._foot()

    # -- going about

    def action_week(self, by: int) -> None:
        assert self.week is not None
        there = self.week.start + timedelta(7 * by)
        if 1990 <= there.year <= 2100:
            self.day = None if there <= self.app.today <= there + timedelta(6) else there
            self.derive()

    def action_this_week(self) -> None:
        self.day = None
        self.derive()

    def action_cover(self) -> None:
        self.under_cover = not self.under_cover
        self._draw()

    def action_find(self) -> None:
        from tui.week.find import Find

        if not self.query(Find):
            self.mount(Find(self.words), before="#foot")

    def find(self, words: str, keep: bool = False) -> None:
        """Show only what is meant by these words; `keep` when they are as they are to stay."""
        self.words = words
        if keep:
            self.query("#find").remove()
            self.board.focus()
        self._draw()

    def action_clear_find(self) -> None:
        self.find("", keep=True)

    def action_keys(self) -> None:
        from tui.forms.form import PageScreen

        text = Text("Keys of the week\n", style="bold")
        for binding in self.BINDINGS:
            assert isinstance(binding, Binding)
            if binding.description:
                key = binding.key_display or {"left": "←", "right": "→"}.get(binding.key, binding.key)
                text.append(f"\n  {key:<7}{binding.description}", style="not bold")
        text.append("\n\nup and down move, enter opens, escape goes back; the mouse does the same.", style="not bold")
        text.append("\n◆ the aim  ● today  ━ days left  ╌ later is poorer  · days gone", style="not bold")
        self.app.push_screen(PageScreen(text))

    def action_details(self) -> None:
        task = self.under_cursor()
        if task is None or task.plan is None:
            return
        from tui.forms.form import PageScreen
        from tui.week.chain import chain_text

        self.app.push_screen(PageScreen(chain_text(self.app.house, task.plan, self.app.today)))

    # -- recording: each key is one entry; what it does stands in recording.py, read when it is first needed

    def action_record(self, what: str, finding: str = "") -> None:
        """Record what a key says: done, look, hold, later, accept, drop, note, saw or undo."""
        from tui.week.recording import RECORD

        RECORD[what](self, finding)

    def under_cursor(self) -> Task | None:
        """The one task under the cursor; says so where there is none."""
        row = self.board.row
        if row is None or row.task is None:
            self.tell("enter opens the looks" if row and row.kind == "looks" else "go to a task first")
            return None
        return row.task

    def act_under_cursor(self) -> Task | None:
        """The task under the cursor, where it is one still to be done."""
        task = self.under_cursor()
        if task is not None and (task.kind != "act" or task.state == "done"):
            self.tell("this is for a task that is still to be done")
            return None
        return task


def _ends(left: str, right: str, width: int) -> str:
    """Two texts at the ends of a line; the left one gives way."""
    room = width - len(right) - 2
    if len(left) > room:
        left = left[: max(0, room - 1)] + "…"
    return f"{left}{' ' * (width - len(left) - len(right))}{right}"
