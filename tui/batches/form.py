"""A new batch: while it is filled in, the ways in which the plant can be raised stand side by side below."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.timer import Timer
from textual.widgets import Input, Label, Static

from engine.almanac.frost import month_day
from engine.farm.protocols import species_named
from engine.journal.actions import Refused
from engine.journal.added import MOST
from engine.journal.batch_actions import NewBatch, free_id, new_batch
from engine.journal.store import JournalError
from engine.protocols.model import Species
from engine.views.ways import Named, Preview, ways_view
from tui.batches.ways import WayList, WayRow
from tui.forms.form import day_of, whole_of
from tui.forms.plants import PlantNames, field
from tui.writing import write

if TYPE_CHECKING:
    from tui.app import WidgerApp
    from tui.batches.screen import BatchesScreen

PAUSE = 0.15
"""Seconds after the last letter until the ways are dated: typing never waits for them."""
HINT = "tab: next field   up and down: choose   enter: save   escape: leave"


class BatchForm(ModalScreen[bool]):
    """The fields of a batch, the names that match what is typed, and the ways with their dates and figures."""

    app: WidgerApp
    CSS_PATH = "form.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave"),
        Binding("up", "choose(-1)", show=False, priority=True),
        Binding("down", "choose(1)", show=False, priority=True),
        Binding("ctrl+s", "save", "save", show=False),
    ]

    def __init__(self, parent: BatchesScreen) -> None:
        super().__init__()
        self._farm_screen = parent
        self._names = PlantNames()
        self._suggested = ""
        self._waiting: Timer | None = None
        self.species: Species | None = None
        self.asked: tuple[object, ...] = ()
        """For what the ways below were worked out."""

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
            yield Static(id="way-head")
            yield WayList("ways")
            yield Static(id="way-told")
            yield Label("", classes="refusal")
            yield Label(HINT, classes="hint")

    def on_mount(self) -> None:
        self.query_one("#species", Input).focus()
        self._show_matches()

    @property
    def ways(self) -> WayList:
        return self.query_one(WayList)

    @property
    def way(self) -> Preview | None:
        """The way under the cursor."""
        return self.ways.row.way if self.ways.row else None

    def value(self, name: str) -> str:
        return self.query_one(f"#{name}", Input).value.strip()

    # -- what is typed

    def on_input_changed(self, event: Input.Changed) -> None:
        self.query_one(".refusal", Label).update("")
        if event.input.id == "species":
            self._names.look_up(self.app.house.farm, event.value)
            self._show_matches()
        self._soon()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        if event.input.id == "species" and self.species_meant() is not None:
            self._take()
            self.query_one("#count", Input).focus()
        else:
            self.action_save()

    def on_descendant_blur(self) -> None:
        self._show_matches()

    on_descendant_focus = on_descendant_blur

    def action_choose(self, by: int) -> None:
        """Up and down: among the names while the plant is typed, else among the ways."""
        if self._typing_species() and self._names.several:
            self._names.choose(by)
            self._show_matches()
            self._soon()
        else:
            self.ways.action_step(by)

    def species_meant(self) -> Named | None:
        return self._names.meant

    def _typing_species(self) -> bool:
        return self.focused is not None and self.focused.id == "species"

    def _take(self) -> None:
        """Write the name that was chosen into the field, in full."""
        name, typed = self._names.in_full(self.app.house.farm), self.query_one("#species", Input)
        if name and typed.value != name:
            typed.value = name

    def _soon(self) -> None:
        if self._waiting is not None:
            self._waiting.stop()
        self._waiting = self.set_timer(PAUSE, self.work_out)

    # -- what is shown

    def work_out(self) -> None:
        """Date the ways for what the fields say now; what cannot be read is told, and the ways stay as they are."""
        named = self.species_meant()
        if named is None:
            self.species, self.asked = None, ()
            self._show_ways(())
            return
        try:
            count, start, ready = self._figures()
        except Refused as refusal:
            self._refuse(refusal)
            return
        cultivar = self.value("cultivar")
        asked = (named.latin, cultivar, count, start, ready)
        if asked == self.asked:
            return
        app = self.app
        self.species = species_named(app.house.farm, named.latin) or Species(named.latin)
        nursery, plans, track = app.house.nursery, app.plans(), app.track()
        self._show_ways(ways_view(nursery, self.species, cultivar, count, start, ready, app.today, plans, track))
        self.asked = asked
        self._suggest_id(self.species, start or ready or app.today)

    def _figures(self) -> tuple[int, date | None, date | None]:
        """The count and the dates. Raises Refused."""
        today = self.app.today
        count = whole_of(self.value("count"), "how many")
        if not 1 <= count <= MOST:
            raise Refused(f"how many: from 1 to {MOST:,}")
        return count, coming_day(self.value("start"), today), coming_day(self.value("ready"), today)

    def _suggest_id(self, species: Species, when: date) -> None:
        name = self.query_one("#id", Input)
        if name.value.strip() in ("", self._suggested):
            self._suggested = free_id(self.app.house.nursery, species.name, when)
            name.value = self._suggested

    def _show_matches(self) -> None:
        told = self._names.told(self.value("species"), self._typing_species())
        self.query_one("#matches", Static).update(told)

    def _show_ways(self, ways: tuple[Preview, ...]) -> None:
        self.ways.put([WayRow(way) for way in ways])
        self.query_one("#way-head", Static).update(Text(self.ways.head(self.ways.size.width) if ways else ""))

    def on_lines_moved(self, event: WayList.Moved) -> None:
        event.stop()
        self._show_told()

    def _show_told(self) -> None:
        way, species = self.way, self.species
        told = Text()
        if way is not None and species is not None:
            parts = [(way.title, "bold not italic")]
            parts += [(f"! {trouble}", "bold not italic") for trouble in way.troubles]
            parts += [(words, "not bold not italic") for words in way.says()]
            parts += [(f"! {caution}", "italic not bold") for caution in species.cautions[:1]]
            parts += [(way.protocol.note, "not bold not italic")] if way.protocol.note else []
            told = Text("\n").join(Text(words, style=style) for words, style in parts)
        elif self.species_meant() is not None and self.asked:
            told = Text("no way of raising it is known here: the farm file may hold a [[protocol]] of your own")
        self.query_one("#way-told", Static).update(told)

    # -- saving

    def action_save(self) -> None:
        try:
            name = self._save()
        except (Refused, JournalError) as refusal:
            self._refuse(refusal)
            return
        self.dismiss(True)
        self._farm_screen.board.go_to(f"lot {name}")

    def _save(self) -> str:
        named = self.species_meant()
        if named is None:
            raise Refused(f'no plant is called "{self.value("species")}"' if self.value("species") else "which plant?")
        count, start, ready = self._figures()
        self.work_out()  # enter may come before the ways were dated
        if self.way is None:
            raise Refused(f"no way of raising {named.name} is known here")
        protocol, today = self.way.protocol, self.app.today
        wanted = NewBatch(
            self.value("id"), named.latin, protocol.method, count, start, ready, protocol.route, self.value("cultivar")
        )
        write(self._farm_screen, lambda nursery, _: new_batch(nursery, wanted, today))
        return wanted.id

    def _refuse(self, refusal: Exception) -> None:
        hint = getattr(refusal, "hint", "")
        self.query_one(".refusal", Label).update(Text(f"{refusal}" + (f" ({hint})" if hint else "")))

    def action_leave(self) -> None:
        self.dismiss(False)


def coming_day(text: str, today: date) -> date | None:
    """A day of a plan, None where none is given: one without a year is the next to come. Raises Refused."""
    if not text.strip():
        return None
    day = day_of(text, today)
    named = any(c.isalpha() for c in text) and text.strip().lower() not in ("today", "yesterday")
    return (
        month_day(today.year + ((day.month, day.day) < (today.month, today.day)), day.month, day.day) if named else day
    )
