"""The needs: orders and plantings, covered, coming or short by how many, and one key to plan a shortfall."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, cast

from rich.text import Text
from textual import on
from textual.binding import BindingType
from textual.timer import Timer

from engine.journal.entry import Entry
from engine.needs.coverage import Coverage, coverage, ways_for
from engine.needs.need_lines import NeedLine
from engine.needs.ways import Split, Way, lean_splits, losses_of, splits
from engine.schedule.plan import Day
from engine.views.needs import BY, COMING, COVERED, GONE, SHORT, Trouble, in_trouble, overdue, state_of
from tui.cells import counted, dated
from tui.in_a_thread import Make, kept, work_out
from tui.screen import Ends, FarmScreen
from tui.screens.needs.facts import Answers, facts_of, facts_of_trouble, page_of
from tui.screens.needs.keys import KEYS
from tui.screens.needs.rows import NeedList, Row, need_rows
from tui.strips.covered import LEGEND

PAUSE = 0.15
"""Seconds that the cursor rests on a need until its ways are worked out: running down the list starts nothing."""
Standing = tuple[Coverage, tuple[Trouble, ...]]


STATES = (
    ("short", "this many are still missing"),
    ("coming", "enough is on its way, at the certainty asked for"),
    ("covered", "enough stands ready"),
    ("sent", "all of it was sold or planted out"),
)
"""How a need stands, in words."""


class NeedsScreen(FarmScreen):
    """What is wanted, with the keys to plan it."""

    TITLE_OF_KEYS = "Keys: needs"
    LEAST_FACTS = 45  # the odds by year are a table
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.by = BY[0]
        self.covered: Coverage | None = None
        """None while it is being worked out."""
        self.troubles: tuple[Trouble, ...] = ()
        self.lines: tuple[NeedLine, ...] = ()
        self._resting: Timer | None = None
        self._go = ""
        """The line to which the cursor goes when it is known how the needs stand."""

    def make_list(self) -> NeedList:
        return NeedList()

    @property
    def need_list(self) -> NeedList:
        return cast(NeedList, self.list)

    def derive(self) -> None:
        app = self.app
        farm = app.house.nursery.farm
        first = self.covered is None and not self.lines
        self.covered = None
        if first:  # what is wanted is shown at once, how it stands when that is known
            self.lines = tuple(NeedLine(n, farm.species_of(n.species).name, 0, 0, 0) for n in farm.needs)
            self.draw()

        def make(day: Day) -> Standing:
            covered = coverage(day)
            return covered, in_trouble(day, covered)

        def stand(found: Standing) -> None:
            untouched = first and not any(row.pickable for row in self.need_list.rows[: self.need_list.cursor])
            self.covered, self.troubles = found
            self.lines = self.covered.needs
            self.draw()
            self.share()
            if untouched:  # what is short has come to the top
                self.need_list.action_edge(-1)
            if self._go:
                self.need_list.go_to(self._go)
                self._go = ""

        work_out(self, "needs", make, stand)
        if self.covered is None:
            self.show_head()
            self.call_later(self.show_foot)  # what has been said does not wait

    def go_to(self, key: str) -> None:
        """Put the cursor on that line, now or when it is known how the needs stand."""
        if self.covered is None:
            self._go = key
        else:
            self.need_list.go_to(key)

    def draw(self) -> None:
        app, known = self.app, self.covered is not None
        latitude = app.house.farm.site.latitude
        rows = need_rows(self.lines, self.troubles, self.by, latitude, app.today, self.words, known)
        self.need_list.show(rows, app.today, self.by, (self.by, self.words, known))
        self.show_head()

    def head(self) -> tuple[Ends, Ends]:
        today = self.app.today
        by = "season" if self.by == "season" else "whom they are for"
        title = (f"Needs by {by}", f"{today:%a} {dated(today)}")
        count = counted(len(self.lines), "need")
        if self.covered is None:
            return title, (f"{count}: working out what covers them …" if self.lines else "nothing is needed", "")
        states = [state_of(line) for line in self.lines]
        parts = [f"{n} {state}" for state in (SHORT, COMING, COVERED, GONE) if (n := states.count(state))]
        late = sum(overdue(line, today) for line in self.lines)
        told = [f"{late} overdue"] if late else []
        amiss = len(self.troubles)
        told += [f"! {counted(amiss, 'lot')} in trouble"] if amiss else []
        return title, (f"{count}: {', '.join(parts)}" if self.lines else "nothing is needed", ", ".join(told))

    def facts(self) -> Text:
        row = self._row
        if row is None:
            if self.words:
                return Text("No need matches; Esc shows all.")
            return Text("Nothing is needed. b begins a need; [[need]] and [[planting]] in the farm file do too.")
        if row.trouble is not None:
            return facts_of_trouble(row.trouble)
        assert row.line is not None
        answers = cast("Answers | None", kept(self.app, self.ways_of(row.line)[0]))
        if answers is None and row.line.short and self.covered is not None:
            self._ask_soon()
        return facts_of(row.line, self.covered, answers, self.app.today)

    def hint(self) -> str:
        row = self._row
        if row is None:
            return "b new need  o to order"
        if row.trouble is not None:
            return "Enter the ways that still meet its needs  b new need  o to order"
        plan = "p plan it  " if row.line is not None and row.line.short and self.covered is not None else ""
        return f"Enter open  {plan}b new  e change  x withdraw  o order  g by {BY[1 - BY.index(self.by)]}"

    def states(self) -> tuple[tuple[str, str], ...]:
        return STATES

    def signs(self) -> str:
        return LEGEND

    # -- the ways

    def ways_of(self, line: NeedLine) -> tuple[object, Make[Answers]]:
        """Under what the ways of a need are kept, and how they are worked out."""

        def make(day: Day) -> Answers:
            found = ways_for(day, line)
            losses = losses_of(day.nursery.farm)
            pairs = splits(line.short, found, losses)
            return Answers(found, (*lean_splits(line.short, pairs, losses, line.need.sure), *pairs))

        return ("ways", line.need.id), make

    def _ask_soon(self) -> None:
        if self._resting is not None:
            self._resting.stop()
        self._resting = self.set_timer(PAUSE, self._ask)

    def _ask(self) -> None:
        line = self._line
        if line is not None and line.short and self.covered is not None:
            name, make = self.ways_of(line)
            work_out(self, name, make, lambda _: self._show_facts() if self._line == line else None)

    # -- the keys

    @property
    def _row(self) -> Row | None:
        return self.need_list.row

    @property
    def _line(self) -> NeedLine | None:
        return self._row.line if self._row else None

    def _picked(self) -> NeedLine | None:
        """The need under the cursor; says so where there is none."""
        if self._line is None:
            self.tell("go to a need first; b begins a new one")
        return self._line

    def action_group(self) -> None:
        """Group by season, or by whom; the cursor stays on its need."""
        self.by = BY[1 - BY.index(self.by)]
        self.draw()

    def action_plan(self) -> None:
        line = self._picked()
        if line is None:
            return
        if self.covered is None:
            self.tell("what covers it is still being worked out")
        elif not line.short:
            self.tell(f"{line.need.id} is not short: there is nothing to plan")
        else:
            from tui.screens.needs.shortfall import PlanScreen

            self.app.push_screen(PlanScreen(self, line, self.ways_of(line), self.planned))

    def planned(self, line: NeedLine, chosen: Way | Split, written: Sequence[Entry]) -> None:
        """Say what was planned for a need, with the cursor on it."""
        self.need_list.go_to(f"need {line.need.id}")
        ways = (chosen,) if isinstance(chosen, Way) else (chosen.one, chosen.other)
        parts = [
            f"{entry.data['count']} by {way.title} ({entry.data['batch']})"
            for way, entry in zip(ways, written, strict=True)
        ]
        undo = "it" if len(written) == 1 else "both"
        self.tell(f"planned for {line.need.id}: {' and '.join(parts)}; u undoes {undo}")

    def action_new(self) -> None:
        from tui.screens.needs.form import NeedForm

        self.app.push_screen(NeedForm(self, self.go_to))

    def action_edit(self) -> None:
        from tui.screens.needs import recording

        if (line := self._picked()) is not None:
            recording.edit(self, line)

    def action_withdraw(self) -> None:
        from tui.screens.needs import recording

        if (line := self._picked()) is not None:
            recording.withdraw(self, line)

    def action_what_if(self) -> None:
        from tui.screens.needs import recording

        row = self._row
        lots = row.line.taken if row and row.line else ()
        if self.covered is None:
            self.tell("what covers it is still being worked out")
        elif row and row.trouble:
            recording.trouble(self, row.trouble, lambda line: self.ways_of(line)[1])
        elif not lots:
            self.tell("no lot covers it, so there is none to lose")
        else:
            recording.what_if(self, lots)

    def action_season(self) -> None:
        from tui.screens.needs.season import SeasonScreen

        self.app.push_screen(SeasonScreen(self))

    def action_orders(self) -> None:
        from tui.screens.needs import recording

        recording.orders(self)

    @on(NeedList.Chosen)
    def _chosen(self) -> None:
        self.action_details()

    def action_details(self) -> None:
        line, covered, today = self._line, self.covered, self.app.today
        if line is None and self._row is not None:  # a lot in trouble
            self.action_what_if()
            return
        if line is None or covered is None:
            self.tell("what covers it is still being worked out" if line else "go to a need first")
            return
        from tui.forms.page import PageScreen
        from tui.screens.needs.late_page import LatePage

        if not line.short:
            self.app.push_screen(PageScreen(page_of(line, covered, None, today)))
            return
        name, make = self.ways_of(line)
        meanwhile = page_of(line, covered, None, today)
        self.app.push_screen(LatePage(name, make, lambda found: page_of(line, covered, found, today), meanwhile))
