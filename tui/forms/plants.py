"""What a form that asks for a plant shares: names that match what is typed, one of them chosen; fields in a line."""

from __future__ import annotations

from rich.text import Text
from textual.app import ComposeResult
from textual.widgets import Input, Label

from engine.farm.model import Farm
from engine.views.ways import Named, names_like

MATCHES = 5


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
            return Text(f"  {'no plant of that name is known' if words else 'any name, common or Latin'}")
        if not typing:
            return Text(f"  {named.name}: {named.latin}" if named.name != named.latin else f"  {named.latin}")
        text = Text()
        for n, each in enumerate(self._found):
            sign = "▸" if n == self._at else " "
            latin = f", {each.latin}" if each.name != each.latin else ""
            text.append(f"{sign} {each.name}{latin}", style="bold" if n == self._at else "not bold")
            text.append("\n" if n + 1 < len(self._found) else "")
        return text


def field(label: str, name: str, width: int, value: str = "") -> ComposeResult:
    """One field with its name before it, beside others on a line."""
    yield Label(label)
    one = Input(value, id=name, select_on_focus=True, compact=True)
    one.styles.width = width
    yield one
