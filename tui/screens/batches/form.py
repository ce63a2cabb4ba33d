"""A new batch: while it is filled in, the ways in which the plant can be raised stand side by side below."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.timer import Timer
from textual.widgets import Input, Label, Static

from engine.acts.action import Refused, say_refusal
from engine.acts.batches import NewBatch, free_id, new_batch
from engine.farm.protocols import species_named
from engine.protocols.model import Species
from engine.reading.limits import MOST_IN_BATCH
from engine.schedule.plan import Day
from engine.views.ways import Preview, ways_view
from tui import farm_app
from tui.forms.plants import HINT, PlantForm, field
from tui.in_a_thread import work_out
from tui.screens.batches.ways import WayList, WayRow
from tui.typed_days import coming_day, day_of
from tui.typed_numbers import whole_of
from tui.writing import write

if TYPE_CHECKING:
    from tui.screen import FarmScreen

PAUSE = 0.15
"""Seconds after the last letter until the ways are dated: typing never waits for them."""


class BatchForm(PlantForm):
    """The fields of a batch, the names that match what is typed, and the ways with their dates and figures."""

    DAYS = ("start", "ready")
    TRIED = ("id", "rootstock", "source", "came")
    CSS_PATH = "form.tcss"

    def __init__(self, parent: FarmScreen) -> None:
        super().__init__()
        self._farm_screen = parent
        self._made = ""
        self._waiting: Timer | None = None
        self.species: Species | None = None
        self.asked: tuple[object, ...] = ()
        """For what the ways below were worked out."""
        self._wanted: tuple[object, ...] = ()
        """For what they are wanted now."""

    def compose(self) -> ComposeResult:
        today = self.app.today
        with Vertical(id="batch-form"):
            yield Label("New batch", classes="title")
            with Horizontal(classes="line"):
                yield from field("plant", "species", 40)
                yield from field("cultivar", "cultivar", 22)
            yield Static(id="matches")
            with Horizontal(classes="line"):
                yield from field("how many", "count", 9, "100")
                yield from field("from", "start", 13, today.isoformat())
                yield from field("ready by", "ready", 13)
                yield from field("id", "id", 11)
            with Horizontal(classes="line"):
                yield from field("rootstock", "rootstock", 14)
                yield from field("came from", "source", 20)
                yield from field("when", "came", 13)
            yield Label("", classes="refusal")  # beside the fields: on a small screen the ways reach below it
            yield Static(id="way-head")
            yield WayList("ways")
            yield Static(id="way-told")
            yield Label(HINT, classes="hint")

    @property
    def ways(self) -> WayList:
        return self.query_one(WayList)

    @property
    def way(self) -> Preview | None:
        """The way under the cursor."""
        return self.ways.row.way if self.ways.row else None

    # -- what is typed

    def typed(self, _: str) -> None:
        """The ways are dated soon: typing never waits for them."""
        if self._waiting is not None:
            self._waiting.stop()
        self._waiting = self.set_timer(PAUSE, self._work_out_soon)

    def choose_else(self, by: int) -> None:
        """Among the ways."""
        self.ways.action_step(by)

    # -- what is shown

    def _work_out_soon(self) -> None:
        """Date the ways: beside the form where there are many lots, among which they must find their room."""
        self.work_out(len(self.app.house.records.lots) > farm_app.MANY)

    def work_out(self, beside: bool = False) -> None:
        """Date the ways for what the fields say now; what cannot be read is told, and the ways stay as they are."""
        named = self.names.meant
        if named is None:
            self.species, self.asked, self._wanted = None, (), ()
            self._show_ways(())
            return
        try:
            count, start, ready = self._figures()
        except Refused as refusal:
            self.query_one(".refusal", Label).update(Text(say_refusal(refusal)))  # and who types stays where they are
            return
        cultivar = self.value("cultivar")
        asked = (named.latin, cultivar, count, start, ready)
        if asked == self.asked:
            return
        self._wanted = asked
        species = species_named(self.app.house.farm, named.latin) or Species(named.latin)

        def make(day: Day) -> tuple[Preview, ...]:
            return ways_view(day, species, cultivar, count, start, ready)

        def then(ways: tuple[Preview, ...]) -> None:
            if self._wanted == asked:
                self.species, self.asked = species, asked
                self._dated(ways, start, ready)

        if beside:
            work_out(self, ("ways", asked), make, then)
        else:
            then(make(self.app.day()))

    def _dated(self, ways: tuple[Preview, ...], start: date | None, ready: date | None) -> None:
        """Show the ways, and offer an id for the first of them."""
        assert self.species is not None
        app = self.app
        self._show_ways(ways)
        name, when = self.species.name, start or ready or app.today
        if start is None and self.way is not None and self.way.first is not None:
            when = self.way.first  # a lot that has only a day to be ready by is called by the year in which it begins
        mark = app.mark()
        self.suggest_id(lambda _: free_id(app.house.nursery, name, when, mark=mark))

    def _figures(self) -> tuple[int, date | None, date | None]:
        """The count and the dates. Raises Refused."""
        today = self.app.today
        count = whole_of(self.value("count"), "how many")
        if not 1 <= count <= MOST_IN_BATCH:
            raise Refused(f"how many: from 1 to {MOST_IN_BATCH:,}")
        return count, coming_day(self.value("start"), today), coming_day(self.value("ready"), today)

    def _show_ways(self, ways: tuple[Preview, ...]) -> None:
        self.ways.put([WayRow(way) for way in ways])
        self.query_one("#way-head", Static).update(Text(self.ways.head(self.ways.size.width) if ways else ""))

    def on_lines_moved(self, event: WayList.Moved) -> None:
        event.stop()
        self._ask_for_rootstock()
        self._show_told()

    def _ask_for_rootstock(self) -> None:
        """Only of a way that grafts: Enter and Tab go past the field of one that does not."""
        rootstock = self.query_one("#rootstock", Input)
        rootstock.disabled = self.way is not None and not self.way.protocol.onto
        if rootstock.disabled and self.focused in (None, rootstock):
            self.query_one("#source", Input).focus()

    def _show_told(self) -> None:
        way, species = self.way, self.species
        told = Text()
        if way is not None and species is not None:
            parts = [(way.title, "bold not italic")]
            parts += [(f"! {trouble}", "bold not italic") for trouble in (*way.troubles, *way.overfull)]
            parts += [(words, "not bold not italic") for words in way.says()]
            parts += [(f"! {caution}", "italic not bold") for caution in self.app.house.farm.cautions_on(species)[:1]]
            parts += [(way.protocol.note, "not bold not italic")] if way.protocol.note else []
            told = Text("\n").join(Text(words, style=style) for words, style in parts)
        elif self.names.meant is not None and self.asked:
            told = Text("no way of raising it is known here: the farm file may hold a [[protocol]] of your own")
        self.query_one("#way-told", Static).update(told)

    # -- saving

    def save(self) -> None:
        named = self.plant()
        count, start, ready = self._figures()
        self.work_out()  # enter may come before the ways were dated
        if self.way is None:
            raise Refused(f"no way of raising {named.name} is known here")
        protocol, today = self.way.protocol, self.app.today
        came = day_of(self.value("came"), today) if self.value("came") else None
        wanted = NewBatch(
            self.value("id"), named.latin, protocol.method, count, start, ready, protocol.route, self.value("cultivar"),
            rootstock=self.value("rootstock") if protocol.onto else "", source=self.value("source"), came=came,
        )  # fmt: skip
        write(self._farm_screen, lambda nursery, _: new_batch(nursery, wanted, today))
        self._made = wanted.id

    def saved(self) -> None:
        self._farm_screen.list.go_to(f"lot {self._made}")
