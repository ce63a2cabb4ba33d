"""The search field at the foot of a list; it is made when it is wanted."""

from __future__ import annotations

from collections.abc import Callable

from textual.widgets import Input

from tui.own_faults import Netted


class Find(Netted, Input):
    """What is typed narrows the list at once; Enter keeps it, Esc clears it again."""

    def __init__(self, words: str, find: Callable[[str, bool], None]) -> None:
        """`find` is told the words, and whether they are as they are to stay."""
        told = "plant, lot, step or place; Enter keeps it, Esc clears it"
        super().__init__(words, placeholder=told, id="find", compact=True, select_on_focus=False)
        self._find = find

    def on_mount(self) -> None:
        self.focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        self._find(event.value, False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._find(event.value, True)
