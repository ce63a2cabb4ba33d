"""To plan a shortfall: the ways that still meet it side by side, and the need spread over two of them; enter picks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
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
from engine.needs.need_lines import NeedLine
from engine.needs.ways import Split, Way
from engine.protocols.forms import ends_as, said_takes
from engine.reading.frozen import dataclass
from engine.reading.said import percent
from engine.schedule.nursery import Nursery
from tui.cells import date_cell, fit, hours_cell
from tui.forms.refused_field import show_refusal
from tui.in_a_thread import work_out
from tui.lines import Lines
from tui.own_faults import Netted
from tui.paper.ways import SPREAD_HALF, SPREAD_LEAN, say_way
from tui.screens.needs.facts import WORKING, Answers, no_way, title_of
from tui.writing import write_all

if TYPE_CHECKING:
    from tui.farm_app import FarmApp
    from tui.in_a_thread import Make
    from tui.writing import Recorder

Planned = Callable[[NeedLine, Way | Split, Sequence[Entry]], None]

STEP, DATE, STARTS, ENOUGH, HOURS, LEFT, COST = 9, 10, 7, 7, 9, 7, 14
WIDE = 98
"""From so many columns on it is told beside each way what the stock plants have left."""
ROOMY = 78
"""From so many columns on the risk of two ways is told in full."""
FEW = "!"
"""Before what the stock plants do not yield enough for."""
REASON = 70
"""Columns of what is said of a way that cannot be."""
SPREAD = "half by each: the same number expected, but both are less likely to fail at once"
LEAN = "fewer for the same chance, if the two share nothing: another day, another source of seed or wood"


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One way, or two of them with half of the need by each; or a heading, or a way that cannot be, with its reason."""

    key: str
    chosen: Way | Split | None = None
    title: str = ""

    @property
    def pickable(self) -> bool:
        return self.chosen is not None


def plan_rows(answers: Answers) -> list[PlanRow]:
    """The ways that can be, the splits, and at the end what cannot be."""
    rows = [PlanRow(f"way {way.title}", way) for way in answers.can]
    for lean, title in ((True, SPREAD_LEAN), (False, SPREAD_HALF)):
        if mine := [pair for pair in answers.splits if pair.lean == lean]:
            rows.append(PlanRow(f"title {title}", title=title))
            kind = "lean" if lean else "split"
            rows += [PlanRow(f"{kind} {pair.one.title} + {pair.other.title}", pair) for pair in mine]
    if cannot := [way for way in answers.ways if way.reason]:
        rows.append(PlanRow("not possible", title="not possible"))
        for way in cannot:
            lines = wrap(f"{way.title}: {way.reason}", REASON, subsequent_indent="  ")
            rows += [PlanRow(f"no {way.title} {n}", title=f"  {told}") for n, told in enumerate(lines)]
    return rows


class PlanList(Lines[PlanRow]):
    """The ways with a cursor on one of them."""

    def __init__(self) -> None:
        super().__init__("ways")

    @property
    def priced(self) -> bool:
        """Whether the farm gives prices, so that a way has its cost."""
        return any(isinstance(row.chosen, Way) and row.chosen.cost is not None for row in self.rows)

    def head(self, width: int) -> str:
        """The names of the columns, over them."""
        left = f"{'left':>{LEFT}}" if width >= WIDE else ""
        left += f"{'cost':>{COST}}" if left and self.priced else ""
        cells = f"{fit('start by', STEP + DATE)}{'ready':>{DATE}}{'starts':>{STARTS}}{'enough':>{ENOUGH}}"
        cells += f"{'hours':>{HOURS}}{left} "
        return f"{fit('  way', width - len(cells))}{cells}"

    def paint(self, row: PlanRow, width: int) -> tuple[str, str]:
        if row.chosen is None:
            return fit(f" {row.title}", width), "place" if not row.title.startswith(" ") else "later"
        if isinstance(row.chosen, Split):
            return fit(split_text(row.chosen, width), width), "open"
        way = row.chosen
        few = way.gives is not None and way.gives < way.takes
        begin = way.start_by or way.start_from
        left = f"{'-' if way.gives is None else f'{way.gives:,}':>{LEFT}}" if width >= WIDE else ""
        if left and self.priced:
            left += f"{way.cost.sum_only()[: COST - 1] if way.cost else '-':>{COST}}"
        cells = f"{fit(way.first_step, STEP)}{date_cell(begin):>{DATE}}{date_cell(way.ready):>{DATE}}"
        cells += f"{way.takes:>{STARTS},}{percent(way.chance):>{ENOUGH}}{hours_cell(way.hours):>{HOURS}}{left} "
        title = way.title.replace(" cutting", "", 1)
        return f"{FEW if few else ' '} {fit(title, width - len(cells) - 3)} {cells}", "closing" if few else "open"


def split_text(pair: Split, width: int) -> str:
    """`hardwood 159 + root 190    2.0 % risk of falling short, against 9.0 %`, where there is the room."""
    one, two = pair.spread.two.lots
    risk = "risk of falling short" if width >= ROOMY else "risk"
    odds = f"{percent(pair.spread.two.short, 1)} {risk}, against {percent(pair.spread.one.short, 1)} "
    if pair.lean:
        odds = f"{one.count + two.count:,} instead of {pair.one.takes:,} in one "
    room = width - len(odds) - 3
    if pair.one == pair.other:
        counts = f" {one.count:,} + {two.count:,}"
        return f"  {fit(pair.one.title.replace(' cutting', '', 1), room - len(counts))}{counts} {odds}"
    names = [way.title.replace(" cutting", "", 1) for way in (pair.one, pair.other)]
    each = (room - len(f"{one.count:,} + {two.count:,}") - 3) // 2
    names = [name if len(name) <= each else fit(name, each).rstrip() for name in names]
    return f"  {fit(f'{names[0]} {one.count:,} + {names[1]} {two.count:,}', room)} {odds}"


class PlanScreen(Netted, ModalScreen[bool]):
    """The ways side by side. What is picked becomes a batch, or two of them, in one append."""

    app: FarmApp
    CSS_PATH = "form.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "leave")]

    def __init__(self, parent: Recorder, line: NeedLine, ways: tuple[object, Make[Answers]], planned: Planned) -> None:
        """`ways`: under what they are kept, and how they are worked out; `planned` is told what was written."""
        super().__init__()
        self._farm_screen, self._line, self._ways, self._planned = parent, line, ways, planned

    def compose(self) -> ComposeResult:
        with Vertical(id="plan"):
            yield Label(Text(f"{self._line.short} short: {title_of(self._line)}"), classes="title")
            yield Static(id="plan-head")
            yield PlanList()
            yield Static(Text(WORKING), id="plan-told")
            yield Label("", classes="refusal")
            yield Label("↑↓ choose   Enter plan it   Esc cancel", classes="hint")

    def on_mount(self) -> None:
        self.list.focus()
        work_out(self, *self._ways, self._show)

    @property
    def list(self) -> PlanList:
        return self.query_one(PlanList)

    def _show(self, answers: Answers) -> None:
        self.list.put(plan_rows(answers))
        width = self.list.scrollable_content_region.width
        head = self.list.head(width) if answers.can else ""
        self.query_one("#plan-head", Static).update(Text(head))
        if not answers.can:
            self.query_one("#plan-told", Static).update(Text(no_way(answers)))

    def on_resize(self) -> None:
        if self.list.rows and self.list.row is not None:
            self.query_one("#plan-head", Static).update(Text(self.list.head(self.list.size.width - 1)))

    def on_lines_moved(self, event: PlanList.Moved) -> None:
        event.stop()
        row = self.list.row
        if row is not None and row.chosen is not None:
            self.query_one("#plan-told", Static).update(told_of(row.chosen))

    def on_lines_chosen(self, event: PlanList.Chosen) -> None:
        event.stop()
        row = self.list.row
        if row is None or row.chosen is None:
            return
        chosen = row.chosen
        try:
            written = self._record(chosen)
        except (Refused, JournalError) as refusal:
            show_refusal(self, refusal)
            return
        self.dismiss(True)
        self._planned(self._line, chosen, written)

    def _record(self, chosen: Way | Split) -> tuple[Entry, ...]:
        line, today = self._line, self.app.today

        def make(nursery: Nursery, _: Sequence[Entry]) -> list[Action]:
            if all(need.id != line.need.id for need in nursery.farm.needs):
                raise Refused(f"{line.need.id} is withdrawn", "another device has withdrawn it")
            return [new_batch(nursery, wanted, today) for wanted in batches_for(nursery, line, chosen, today)]

        return write_all(self._farm_screen, make)

    def action_leave(self) -> None:
        self.dismiss(False)


def told_of(chosen: Way | Split) -> Text:
    """What stands under the list of the way under the cursor: what it takes, and what is to be minded."""
    text = Text()
    if isinstance(chosen, Way):
        _tell(text, chosen, chosen.title, say_way(chosen))
    else:
        text.append(f"{LEAN if chosen.lean else SPREAD}\n", style="not bold")
        one, two = (lot.count for lot in chosen.spread.two.lots)
        if chosen.one == chosen.other:
            parts = [(chosen.one, f"{one:,} + {two:,}")]
        else:
            parts = [(chosen.one, f"{one:,}"), (chosen.other, f"{two:,}")]
        for way, counts in parts:
            _tell(text, way, f"{counts} {said_takes(way.protocol)} by {way.title}", say_way(way, whole=False)[1:])
        if chosen.cost is not None:
            text.append(f"{chosen.cost.says()}\n", style="not bold")
    text.right_crop(1)
    return text


def _tell(text: Text, way: Way, title: str, lines: Iterable[str]) -> None:
    ready = f"; ready {date_cell(way.ready)} {ends_as(way.form)}" if way.ready else ""
    text.append(f"{title}{ready}\n", style="bold")
    for told in lines:
        text.append(f"  {told}\n", style="not bold")
