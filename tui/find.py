"""The search field at the foot of a list; it is made when it is wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.widgets import Input

if TYPE_CHECKING:
    from tui.screen import FarmScreen


class Find(Input):
    """What is typed narrows the list at once; enter keeps it, escape shows all again."""

    def __init__(self, words: str) -> None:
        told = "plant, lot, step or place; enter keeps it, escape shows all"
        super().__init__(words, placeholder=told, id="find", compact=True, select_on_focus=False)

    def on_mount(self) -> None:
        self.focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        self._farm.find(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._farm.find(event.value, keep=True)

    @property
    def _farm(self) -> FarmScreen:
        return cast("FarmScreen", self.screen)
