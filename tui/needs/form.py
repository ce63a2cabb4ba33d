"""A new need: which plant, how many, by when, how surely, for whom."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Label, Static

from engine.farm.stock import Need
from engine.journal.actions import Refused
from engine.journal.added_needs import SURE
from engine.journal.need_actions import free_need_id, new_need
from engine.journal.store import JournalError
from tui.batches.form import coming_day
from tui.forms.form import whole_of
from tui.forms.plants import PlantNames, field
from tui.writing import write

if TYPE_CHECKING:
    from tui.app import WidgerApp
    from tui.needs.screen import NeedsScreen

TOLD = "by: 12 Mar, 2028-03-12, or empty: whenever. form: bare root, liner, 1 L pot …, or empty: any that is ready"
HINT = "tab: next field   up and down: choose   enter: save   escape: leave"


class NeedForm(ModalScreen[bool]):
    """The fields of a need, and the names that match what is typed."""

    app: WidgerApp
    CSS_PATH = "form.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave"),
        Binding("up", "choose(-1)", show=False, priority=True),
        Binding("down", "choose(1)", show=False, priority=True),
        Binding("ctrl+s", "save", "save", show=False),
    ]

    def __init__(self, parent: NeedsScreen) -> None:
        super().__init__()
        self._farm_screen = parent
        self._names = PlantNames()
        self._suggested = ""

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
                yield from field("for whom", "who", 34)
                yield from field("id", "id", 24)
            yield Static(Text(TOLD), id="need-told")
            yield Label("", classes="refusal")
            yield Label(HINT, classes="hint")

    def on_mount(self) -> None:
        self.query_one("#species", Input).focus()
        self._show_matches()

    def value(self, name: str) -> str:
        return self.query_one(f"#{name}", Input).value.strip()

    def on_input_changed(self, event: Input.Changed) -> None:
        self.query_one(".refusal", Label).update("")
        if event.input.id == "species":
            self._names.look_up(self.app.house.farm, event.value)
            self._show_matches()
        if event.input.id in ("species", "by"):
            self._suggest_id()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        if event.input.id == "species" and self._names.meant is not None:
            name = self._names.in_full(self.app.house.farm)
            if event.input.value != name:
                event.input.value = name
            self.query_one("#count", Input).focus()
        else:
            self.action_save()

    def on_descendant_blur(self) -> None:
        self._show_matches()

    on_descendant_focus = on_descendant_blur

    def action_choose(self, by: int) -> None:
        """Up and down: among the names while the plant is typed, else to the field before or after."""
        if self._typing_species() and self._names.several:
            self._names.choose(by)
            self._show_matches()
            self._suggest_id()
        elif by > 0:
            self.focus_next()
        else:
            self.focus_previous()

    def _typing_species(self) -> bool:
        return self.focused is not None and self.focused.id == "species"

    def _show_matches(self) -> None:
        told = self._names.told(self.value("species"), self._typing_species())
        self.query_one("#matches", Static).update(told)

    def _suggest_id(self) -> None:
        named, name = self._names.meant, self.query_one("#id", Input)
        if named is not None and name.value.strip() in ("", self._suggested):
            try:
                day = coming_day(self.value("by"), self.app.today) or self.app.today
            except Refused:
                return  # it is being typed
            house = self.app.house
            self._suggested = free_need_id(house.nursery, house.entries, named.name, day)
            name.value = self._suggested

    # -- saving

    def action_save(self) -> None:
        try:
            wanted = self._wanted()
            today = self.app.today
            write(self._farm_screen, lambda nursery, entries: new_need(nursery, entries, wanted, today))
        except (Refused, JournalError) as refusal:
            hint = getattr(refusal, "hint", "")
            self.query_one(".refusal", Label).update(Text(f"{refusal}" + (f" ({hint})" if hint else "")))
            return
        self.dismiss(True)
        self._farm_screen.go_to(f"need {wanted.id}")

    def _wanted(self) -> Need:
        """What the fields say. Raises Refused."""
        named = self._names.meant
        if named is None:
            raise Refused(f'no plant is called "{self.value("species")}"' if self.value("species") else "which plant?")
        count = whole_of(self.value("count"), "how many")
        by, sure = coming_day(self.value("by"), self.app.today), share_of(self.value("sure"))
        words = {name: self.value(name) for name in ("cultivar", "form", "who")}
        return Need(self.value("id"), named.latin, words["cultivar"], words["form"], count, by, sure, words["who"])

    def action_leave(self) -> None:
        self.dismiss(False)


def share_of(text: str) -> float:
    """How surely, in per cent: 90, 90 %, 99.5; or as a share below 1. Raises Refused."""
    try:
        value = float(text.strip().removesuffix("%").replace(",", "."))
    except ValueError:
        raise Refused(f'how surely: "{text}" is no number', "such as 90") from None
    if not 0 < value < 100:
        raise Refused(f"nothing is {text} sure", "say a sureness between 1 and 99.99, such as 90")
    return value if value < 1 else round(value / 100, 6)
