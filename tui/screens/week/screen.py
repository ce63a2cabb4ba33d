"""The week screen: tasks by place, the facts of the one under the cursor, and a key for everything one does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType

from engine.reading.limits import FIRST_SHOWN, LAST_SHOWN
from engine.schedule.states import State
from engine.views.task import Task
from engine.views.week import Week, to_draw, week_start, week_view
from tui import farm_app
from tui.cells import counted, day
from tui.inks import ink
from tui.paper.week_lines import DUE, week_number
from tui.screen import Ends, FarmScreen
from tui.screens.week.board import Board
from tui.screens.week.glance import (
    begin_later,
    closes_first,
    coming_lines,
    coming_title,
    frost,
    hours,
    late,
    light,
    routine_lines,
)
from tui.screens.week.keys import KEYS, KEYS_OF, ONLY
from tui.screens.week.rows import LATE, Row, board_rows, left_out_rows, task_key, wanted

if TYPE_CHECKING:
    from engine.needs.dispatch import Parcel
    from engine.views.tonight import Hazard

SHOWN_INSTEAD = 2
LEAST_ROOM = 8
"""Empty lines from which on the week after is shown beneath."""
SOON_DAYS = 7
"""So many days before the week in which a parcel must go the board begins to say it."""
SHOWN_BEFORE = 3
SIGNS = (
    "◆ the aim  ● today  ━ days left  ╌ past its best  · days gone  M T W days it is due"
    "  ▸ looks of one place, Enter opens them  * marked"
)


class WeekScreen(FarmScreen):
    """The board of one week, with the keys to record what happens."""

    TITLE_OF_KEYS = "Keys: week"
    HINT_FOR_ALL = "d done  n r m y look  h hold  l later  t note  Esc unmarks"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self, week: Week | None = None) -> None:
        """With the running week, where it has been worked out already."""
        super().__init__()
        self.day: date | None = None  # a day of the week shown; None: the running week
        self.under_cover = False
        self._sent_for = False
        """Whether the parcels that must go soon were asked for."""
        self.fitting: frozenset[str] | None = None
        """The tasks that fit into the time there is, where that was asked; None: all."""
        self.left_out: Mapping[str, str] = {}
        """What presses and does not fit into it, with the reason."""
        self.opened: frozenset[str] = frozenset()
        self.week: Week | None = None
        self._known = week
        self._weeks: dict[date, Week] = {}
        """Those shown last, by their first day: what has not changed in them is taken over."""

    def compose(self) -> ComposeResult:
        # Textual tells a screen how wide it is after the first frame, which would be drawn narrow, and all then anew.
        widths = sorted(self.app.HORIZONTAL_BREAKPOINTS or ())
        self.add_class(*[name for least, name in widths if least <= self.app.size.width][-1:], update=False)
        yield from super().compose()

    def make_list(self) -> Board:
        return Board()

    @property
    def board(self) -> Board:
        return cast(Board, self.list)

    def on_mount(self) -> None:
        if problems := self.app.problem_count():
            self.said = f"{counted(problems, 'problem')}: `widger check` lists them"
        self.call_after_refresh(self._tell_news)

    def _tell_news(self) -> None:
        if news := self.app.news():
            self.tell("; ".join(filter(None, (self.said, news))))

    def derive(self) -> None:
        if self._known is not None:  # the frame is drawn first: each on its own holds the keys but half as long
            known, self._known = self._known, None
            self.call_after_refresh(self._show_week, known)
            return
        app, shown = self.app, self.day
        start = week_start(shown or app.today, app.house.farm.week_starts)
        before = self._weeks.get(start)
        if self.week is not None and (app.behind() or to_draw(app.day(), shown, before) > farm_app.MANY):
            self.work(("week", start), lambda day: week_view(day, shown, before), self._show_week)
        else:
            self._show_week(week_view(app.day(), shown, before))

    def _show_week(self, week: Week) -> None:
        """Show a week that was made, unless another is wanted by now."""
        if week.start != week_start(self.day or self.app.today, self.app.house.farm.week_starts):
            return
        self.week = week
        others = {start: each for start, each in self._weeks.items() if start != week.start}
        self._weeks = {**dict([*others.items()][-SHOWN_BEFORE:]), week.start: week}
        self.draw()

    def draw(self) -> None:
        assert self.week is not None
        rows = board_rows(self.week, self.opened, self._kept, () if self.words else self._sends())
        rows += left_out_rows(self.week, self.left_out)
        rows += self._begin_later()
        rows += self._week_after(self.board.size.height - len(rows) - 1)
        order = (self.week.start, self.under_cover, self.words)
        self.board.show(rows, self.week, self.opened, order)
        self.show_head()

    def painted(self) -> None:
        if self.board.size.height - len(self.board.rows) > LEAST_ROOM:
            self.draw()

    def _week_after(self, room: int) -> list[Row]:
        """What the week after brings, where half the screen would be empty; not for the first frame."""
        app, week = self.app, self.week
        assert week is not None
        if not self._painted or room < LEAST_ROOM or self.words or len(app.plans()) > farm_app.MANY:
            return []
        key = ("week after", week.start, app.today)
        if key not in app.kept:
            app.kept[key] = week_view(app.day(), week.start + timedelta(7))
        following = cast(Week, app.kept[key])
        lines = [(told, task) for told, task in coming_lines(week, following) if self._kept(task)]
        routine = [(told, tasks) for told, tasks in routine_lines(following) if all(map(self._kept, tasks))]
        title = coming_title(following)
        return [
            Row("place", "week after", title),
            *(Row("ahead", f"next {task_key(t)}", told, (t,)) for told, t in lines),
            *(Row("ahead", f"routine {told}", told, tasks) for told, tasks in routine),
        ]

    def _begin_later(self) -> list[Row]:
        """One line that names the batches which no week about shows; on the present week of a small farm."""
        app, week = self.app, self.week
        assert week is not None
        if self.day is not None or self.words or self.fitting is not None or len(app.plans()) > farm_app.MANY:
            return []
        told = begin_later(app.house.farm, app.plans(), week, (self.board.size.width or 80) - 4)
        return [Row("place", "later", told)] if told else []

    def on_resize(self) -> None:
        super().on_resize()
        if self._painted:
            self.call_after_refresh(self.draw)

    def _sends(self) -> Sequence[Parcel]:
        """The parcels that must go by the week's end or soon after; worked out once for each state of the farm."""
        app, week = self.app, self.week
        assert week is not None
        if self.under_cover or self.fitting is not None or not any(need.who for need in app.house.farm.needs):
            return ()
        if not self._sent_for:  # the week itself is painted first
            self._sent_for = True
            self.call_after_refresh(self.draw)
            return ()
        key, until = ("sends", week.start), week.end + timedelta(SOON_DAYS)
        if key not in app.kept:
            from engine.needs.dispatch import sendings

            app.kept[key] = sendings(app.house.nursery, max(app.today, week.start), until)
        return cast("Sequence[Parcel]", app.kept[key])

    def _kept(self, task: Task) -> bool:
        fits = self.fitting is None or task_key(task) in self.fitting
        meant = not self.words or wanted(task, self.words)
        return fits and meant and (task.under_cover or not self.under_cover)

    def head(self) -> tuple[Ends, ...]:
        week = self.week
        assert week is not None
        here = "" if week.start <= week.today <= week.end else "  (w: this week)"
        title = f"Week {week_number(week)}   {week.start:%a} {day(week.start)} - "
        title += f"{week.end:%a} {day(week.end, True)}{here}"
        width = max(40, self.size.width - 2)
        orders = sum(row.kind == "send" and row.text.startswith(LATE) for row in self.board.rows)
        due, first, pressing, cold = hours(week), closes_first(week), late(week, orders), frost(week)
        if len(title) + len(due) + 2 > width:
            title, due = title.replace(f"{week.start:%a} ", "").replace(f"{week.end:%a} ", ""), due.replace(DUE, "")
        if len(first) + len(pressing) + 2 > width:
            pressing = pressing if pressing[0].isdigit() else ""
        if len(cold) + 2 > width:
            cold = cold.rpartition(", ")[0]
        return (title, due), (first, pressing), (cold, light(week, width - len(cold) - 2))

    def ink(self, head: Text) -> None:
        week = self.week
        assert week is not None
        clay = ink(self.app, "closing")
        head.highlight_regex(r"\d+ (orders? )?(overdue|missed)", clay)
        if week.hours_available and week.hours_planned > week.hours_available:
            head.highlight_words([hours(week), hours(week).replace(DUE, "")], clay)

    def facts(self) -> Text:
        from tui.screens.week.facts import facts_of, found_elsewhere

        assert self.week is not None
        if self.board.row is None and self.words:
            return found_elsewhere(self.app.house.farm, self.app.plans(), self.words)
        return facts_of(self.board.row, self.app.house.farm, self.week, self._besides(), self.app.track())

    def _besides(self) -> tuple[str, ...]:
        """What stock plants lack for the collecting under the cursor; what may be done instead of what was missed."""
        row, app = self.board.row, self.app
        task = row.task if row is not None else None
        if task is None or task.plan is None or task.state is not State.MISSED:
            return tuple(filter(None, (self._short(),)))
        from engine.views.instead import ways_instead

        key, plan = ("instead", task.lot), task.plan
        if key not in app.kept:
            app.kept[key] = ways_instead(app.house.nursery, plan, app.today, app.track())
        ways = (f"or {way.says(app.today)}" for way in app.kept[key][:SHOWN_INSTEAD])
        return (*filter(None, (self._short(),)), *ways)

    def _short(self) -> str:
        """What the stock plants lack for the collecting under the cursor, in words."""
        row, farm = self.board.row, self.app.house.farm
        task = row.task if row is not None else None
        if not farm.stock_plants or task is None or task.plan is None or not task.collects:
            return ""
        from engine.needs.stock_plants import shortfall_of

        return shortfall_of(farm, self.app.plans(), task.plan.batch.id)

    def lot_here(self) -> str:
        row = self.board.row
        return row.task.lot if row is not None and row.task is not None else ""

    def hint(self) -> str:
        row = self.board.row
        if row is None:
            return ""
        if row.kind in ("task", "ahead"):
            return KEYS_OF.get(row.state) or KEYS_OF[row.tasks[0].kind]
        return KEYS_OF.get(row.kind, "")

    def flags(self) -> list[str]:
        told = [
            *(["spare time"] if self.fitting is not None else []),
            *(["under cover"] if self.under_cover else []),
        ]
        return [*told, *super().flags()]

    def states(self) -> tuple[tuple[str, str], ...]:
        from tui.forms.help import STATES

        return STATES

    def signs(self) -> str:
        return SIGNS

    @on(Board.Chosen)
    def _chosen(self, message: Board.Chosen) -> None:
        row = cast(Row, message.row)
        if row.kind == "looks":
            self.opened ^= {row.text}
            self.draw()
        elif row.kind == "send":
            self.run_worker(self._to_parcel(row), exit_on_error=False)
        else:
            self.action_details()

    async def _to_parcel(self, row: Row) -> None:
        await self.app.run_action("go('dispatch')")
        self.app.screen.go_to_parcel(row.key.removeprefix("send "))  # type: ignore[attr-defined]

    def action_week(self, by: int) -> None:
        assert self.week is not None
        self.said = ""
        # From the week that was asked for last, which may still be made.
        there = week_start(self.day or self.app.today, self.app.house.farm.week_starts) + timedelta(7 * by)
        if FIRST_SHOWN <= there.year <= LAST_SHOWN:
            self.day = None if there <= self.app.today <= there + timedelta(6) else there
            self.derive()

    def action_this_week(self) -> None:
        self.said = ""
        self.day = None
        self.derive()

    def action_cover(self) -> None:
        self.said = ""
        self.under_cover = not self.under_cover
        self.draw()

    def action_tonight(self) -> None:
        from tui.screens.tonight.recording import ask_hazard
        from tui.screens.tonight.screen import TonightScreen

        def show(hazard: Hazard) -> None:
            self.app.push_screen(TonightScreen(hazard))

        ask_hazard(self.app, show)

    def action_spare(self) -> None:
        from tui.screens.week.spare import ask_spare

        ask_spare(self)

    def action_clear_find(self) -> None:
        if not self.list.marked:
            self.under_cover, self.fitting, self.left_out = False, None, {}
        super().action_clear_find()

    def action_details(self) -> None:
        task = self.under_cursor()
        if task is None or task.plan is None:
            return
        from tui.forms.page import LotPage
        from tui.screens.week.chain import chain_text

        self.app.push_screen(LotPage(chain_text(self.app.house, task.plan, self.app.today), self.action_mend))

    def action_look(self, finding: str) -> None:
        """Record what a look found."""
        from tui.forms.marked_lines import look_all
        from tui.screens.week.recording import look

        if tasks := self.marked_tasks():
            look_all(self, tasks, finding)
        else:
            look(self, finding)

    def action_record(self, what: str) -> None:
        """Record what a key says: done, hold, later, accept, drop, note or saw.

        What each does stands in recording.py, which is read when it is first needed.
        """
        from tui.screens.week.recording import RECORD, RECORD_ALL

        if not (tasks := self.marked_tasks()):
            RECORD[what](self)
        elif what in RECORD_ALL:
            RECORD_ALL[what](self, tasks)
        else:
            self.tell("this works on one line only: Esc unmarks them")

    def marked_tasks(self) -> list[Task]:
        """The tasks of the lines that are marked, each once."""
        tasks = [task for row in self.board.marked_rows for task in row.tasks]
        return list({task_key(task): task for task in tasks}.values())

    @property
    def picked(self) -> Row | None:
        """The line under the cursor."""
        return self.board.row

    def under_cursor(self) -> Task | None:
        """The one task under the cursor; says so where there is none."""
        row = self.board.row
        if row is None or row.task is None:
            self.tell("enter opens the looks" if row and row.kind == "looks" else "go to a task first")
            return None
        return row.task

    def act_under_cursor(self, what: str) -> Task | None:
        """The task under the cursor, where it is one for which that key is: still to be done, or missed."""
        task = self.under_cursor()
        if task is not None and task.kind == "standing":
            self.tell(f"{ONLY[what]}; standing work comes round: d records it")
            return None
        if task is None or (task.kind == "act" and task.state is not State.DONE and self._for(what, task)):
            return task
        this = "a look" if task.kind == "look" else f"{task.step} of {task.lot}, {task.state}"
        self.tell(f"{ONLY[what]}; this is {this}")
        return None

    def _for(self, what: str, task: Task) -> bool:
        """Whether the key is for this task still to do: of what was missed a lot accepts its next window as a whole."""
        if what not in ("accept", "instead") or task.state is State.MISSED:
            return True
        plan, today = task.plan, self.app.today.toordinal()
        acts = range(len(plan.chain.spans)) if plan is not None and what == "accept" else ()
        return any(plan is not None and plan.missed(k, today) for k in acts)
