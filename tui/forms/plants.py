"""A form that asks for a plant first: names that match what is typed, one of them chosen; fields in a line."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Input, Label, Static

from engine.acts.action import Refused
from engine.farm.model import Farm
from engine.journal.store import JournalError
from engine.views.ways import Named, names_like
from tui.farm_app import Tried
from tui.forms.days_in_words import put_in_words
from tui.forms.refused_field import Values, at_fault, show_refusal
from tui.own_faults import Netted

if TYPE_CHECKING:
    from tui.farm_app import FarmApp

MATCHES = 5
ASKED = ("species", "count", "id")
"""The fields that such a form cannot do without."""
HINT = "Enter next/save   Ctrl+S save   ↑↓ choose   Esc cancel"


class PlantNames:
    """The names that match what is typed, the best first, and which of them is meant."""

    def __init__(self) -> None:
        self._found: tuple[Named, ...] = ()
        self._at = 0

    def look_up(self, farm: Farm, words: str) -> None:
        self._found, self._at = names_like(farm, words, MATCHES), 0

    @property
    def meant(self) -> Named | None:
        return self._found[self._at] if self._found else None

    @property
    def several(self) -> bool:
        return len(self._found) > 1

    def choose(self, by: int) -> None:
        """The next name, or the one before."""
        self._at = (self._at + by) % len(self._found)

    def in_full(self, farm: Farm) -> str:
        """The name that is meant, as it is written into the field: one that means nothing else."""
        if self.meant is None:
            return ""
        first = names_like(farm, self.meant.name, 1)
        return self.meant.name if first and first[0].latin == self.meant.latin else self.meant.latin

    def told(self, words: str, typing: bool) -> Text:
        """What stands under the field: while one types all the names, then the one that is meant."""
        named = self.meant
        if named is None:
            return Text(f"  {'no such plant' if words else 'any name, common or Latin'}")
        if not typing:
            return Text(f"  {named.name}: {named.latin}" if named.name != named.latin else f"  {named.latin}")
        text = Text()
        for n, each in enumerate(self._found):
            sign = "▸" if n == self._at else " "
            latin = f", {each.latin}" if each.name != each.latin else ""
            text.append(f"{sign} {each.name}{latin}", style="bold" if n == self._at else "not bold")
            text.append("\n" if n + 1 < len(self._found) else "")
        return text


class PlantForm(Netted, ModalScreen[bool]):
    """What such forms share. A subclass lays out its fields (`species`, `count` and `id` among them) and saves."""

    app: FarmApp
    DAYS: ClassVar[tuple[str, ...]] = ()
    """The fields that take a day."""
    TRIED: ClassVar[tuple[str, ...]] = ()
    """The fields that are tried without what was typed, to find the one that a refusal is about."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave"),
        Binding("up", "choose(-1)", show=False, priority=True),
        Binding("down", "choose(1)", show=False, priority=True),
        Binding("ctrl+s", "save", "save", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.names = PlantNames()
        self._suggested = ""
        self._first: dict[str, str] = {}
        self._tried: dict[str, str] = {}
        self._read = self._told = ""

    @abstractmethod
    def typed(self, name: str) -> None:
        """A field has changed, or another of the names is meant."""

    @abstractmethod
    def choose_else(self, by: int) -> None:
        """What up and down do where they do not choose among the names."""

    @abstractmethod
    def save(self) -> None:
        """Write what the fields say. Raises Refused or JournalError."""

    @abstractmethod
    def saved(self) -> None:
        """What follows when the form has closed."""

    def on_mount(self) -> None:
        self._first = {field.id or "": field.value for field in self.query(Input)}
        self.query_one("#species", Input).focus()
        self._show_matches()

    def value(self, name: str) -> str:
        self._read = name
        return self._tried.get(name, self.query_one(f"#{name}", Input).value.strip())

    def plant(self) -> Named:
        """The plant that is meant. Raises Refused where none is."""
        if self.names.meant is None:
            typed = self.value("species")
            raise Refused(f'no plant is called "{typed}"' if typed else "which plant?")
        return self.names.meant

    def suggest_id(self, free: Callable[[str], str]) -> None:
        """Fill in an id that is free for the plant of that name, while the grower has written none."""
        named, name = self.names.meant, self.query_one("#id", Input)
        if named is not None and name.value.strip() in ("", self._suggested):
            self._suggested = name.value = free(named.name)

    def refuse(self, refusal: Exception) -> None:
        values = Values({field.id or "": field.value.strip() for field in self.query(Input)})
        values.last, self._told = self._read, str(refusal)
        field = at_fault(self, str(refusal), self._first, values, self.app.ruled, self._refused, ASKED)
        show_refusal(self, refusal, field)

    def _refused(self, values: Values) -> str:
        """Why these would be refused, or nothing; nothing is written. What shapes the rest of the form is not tried."""
        self._tried = {name: text for name, text in values.items() if text != self.value(name)}
        self.app.trying = True
        try:
            if not set(self._tried) <= set(self.TRIED):
                return self._told  # as it is refused now
            self.save()
        except Tried:
            return ""
        except (Refused, JournalError) as refusal:
            return str(refusal)
        finally:
            self._tried, self.app.trying = {}, False
        return ""

    def on_input_changed(self, event: Input.Changed) -> None:
        if event.input is self.focused:  # an id that is filled in meanwhile answers nothing
            self.query_one(".refusal", Label).update("")
        if event.input.id == "species":
            self.names.look_up(self.app.house.farm, event.value)
            self._show_matches()
        self.typed(event.input.id or "")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """On to the next field, and from the last, save: here every field shapes what is shown below."""
        if event.input.id == "species" and self.names.meant is not None:
            name = self.names.in_full(self.app.house.farm)
            if event.input.value != name:
                event.input.value = name
        with suppress(Refused):  # saving says it
            put_in_words(self, self.DAYS, self.app.house.farm.units)
        fields = [each for each in self.query(Input) if not each.disabled]
        after = fields.index(event.input) + 1
        if after < len(fields):
            fields[after].focus()
        else:
            self.action_save()

    def on_descendant_blur(self) -> None:
        self._show_matches()

    on_descendant_focus = on_descendant_blur

    def action_choose(self, by: int) -> None:
        if self._typing_species() and self.names.several:
            self.names.choose(by)
            self._show_matches()
            self.typed("species")
        else:
            self.choose_else(by)

    def _typing_species(self) -> bool:
        return self.focused is not None and self.focused.id == "species"

    def _show_matches(self) -> None:
        told = self.names.told(self.value("species"), self._typing_species())
        self.query_one("#matches", Static).update(told)

    def action_save(self) -> None:
        self.app.ruled = False
        try:
            if put_in_words(self, self.DAYS, self.app.house.farm.units):
                return
            self.save()
        except (Refused, JournalError) as refusal:
            self.refuse(refusal)
            return
        self.dismiss(True)
        self.saved()

    def action_leave(self) -> None:
        self.dismiss(False)


def field(label: str, name: str, width: int, value: str = "") -> ComposeResult:
    """One field with its name before it, beside others on a line."""
    yield Label(label)
    one = Input(value, id=name, select_on_focus=True, compact=True)
    one.styles.width = width
    yield one
