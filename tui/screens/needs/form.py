"""A new need: which plant, how many, by when, how surely, for whom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Label, Static

from engine.acts.action import Refused
from engine.acts.needs import free_need_id, new_need
from engine.farm.stock import Need
from engine.records.needs import SURE, WORDS
from tui.forms.plants import HINT, PlantForm, field
from tui.typed_days import coming_day
from tui.typed_numbers import sureness_of, whole_of
from tui.writing import write

if TYPE_CHECKING:
    from collections.abc import Callable

    from tui.writing import Recorder

TOLD = "by: 12 Mar, 2028-03-12, or empty: whenever. form: bare root, liner, 1 L pot …, or empty: any that is ready"


class NeedForm(PlantForm):
    """The fields of a need, and the names that match what is typed."""

    DAYS = ("by",)
    TRIED = ("count", "by", "sure", "cultivar", *WORDS, "id")
    CSS_PATH = "form.tcss"

    def __init__(self, parent: Recorder, go_to: Callable[[str], None]) -> None:
        """`go_to` is given the key of the new need's line."""
        super().__init__()
        self._farm_screen, self._go_to = parent, go_to
        self._made = ""

    def compose(self) -> ComposeResult:
        with Vertical(id="need-form"):
            yield Label("New need", classes="title")
            with Horizontal(classes="line"):
                yield from field("plant", "species", 40)
                yield from field("cultivar", "cultivar", 20)
            yield Static(id="matches")
            with Horizontal(classes="line"):
                yield from field("how many", "count", 9)
                yield from field("by", "by", 14)
                yield from field("sure %", "sure", 8, f"{SURE * 100:g}")
                yield from field("form", "form", 14)
            with Horizontal(classes="line"):
                yield from field("grade", "grade", 10)
                yield from field("for whom", "who", 26)
                yield from field("id", "id", 20)
            yield Static(Text(TOLD), id="need-told")
            yield Label("", classes="refusal")
            yield Label(HINT, classes="hint")

    def typed(self, name: str) -> None:
        if name not in ("species", "by"):
            return
        house, today = self.app.house, self.app.today
        try:
            day = coming_day(self.value("by"), today) or today
        except Refused:
            return  # it is being typed
        mark = self.app.mark()
        self.suggest_id(lambda plant: free_need_id(house.nursery, house.entries, plant, day, mark))

    def choose_else(self, by: int) -> None:
        """To the field before or after."""
        if by > 0:
            self.focus_next()
        else:
            self.focus_previous()

    def save(self) -> None:
        wanted, today = self._wanted(), self.app.today
        write(self._farm_screen, lambda nursery, entries: new_need(nursery, entries, wanted, today))
        self._made = wanted.id

    def saved(self) -> None:
        self._go_to(f"need {self._made}")

    def _wanted(self) -> Need:
        """What the fields say. Raises Refused."""
        named = self.plant()
        count = whole_of(self.value("count"), "how many")
        by, sure = coming_day(self.value("by"), self.app.today), sureness_of(self.value("sure"))
        words = {name: self.value(name) for name in WORDS}
        return Need(id=self.value("id"), species=named.latin, count=count, by=by, sure=sure, **words)
