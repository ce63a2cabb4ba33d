"""A page whose text may come a while after it is opened."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text

from tui.forms.page import PageScreen
from tui.in_a_thread import Make, T, work_out


class LatePage(PageScreen):
    """A page that is opened at once and filled when what it shows has been worked out."""

    CSS_PATH = "../../forms/forms.tcss"

    def __init__(self, name: object, make: Make[T], draw: Callable[[T], Text], meanwhile: Text) -> None:
        super().__init__(meanwhile)
        self._what, self._make = name, make

        def fill(found: T) -> None:
            self.show(draw(found))

        self._fill = fill

    def on_mount(self) -> None:
        work_out(self, self._what, self._make, self._fill)
