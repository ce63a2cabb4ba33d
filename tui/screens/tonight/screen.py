"""What a frosty night, a heat day, a gale or a power cut threatens: by place, the tenderest first, one key a place."""

from __future__ import annotations

from functools import cache
from typing import ClassVar, cast

from rich.text import Text
from textual.binding import BindingType

from engine.views.tonight import FROST, Exposed, Hazard, seen_to, threatened
from tui.cells import dated
from tui.facts import CARE, in_parts
from tui.paper.tonight import CAUTION, say_safe, title_of
from tui.screen import Ends, FarmScreen
from tui.screens.tonight.keys import HINT, KEYS
from tui.screens.tonight.rows import ExposedList, exposed_rows

STAGES = {
    "soft": "soft growth", "leaf": "in leaf", "hardened": "leaves hardened", "swelling": "buds swelling",
    "pot": "in a pot", "ground": "in the ground", "seedling": "seedlings", "graft": "fresh grafts",
    "mist": "under mist", "warm": "kept warm", "warm season": "kept warm, in the warm season",
    "cold": "kept cold",
}  # fmt: skip
"""What is said of a stage, where its name alone does not say it."""


class TonightScreen(FarmScreen):
    """What stands exposed, and which places are seen to."""

    TITLE_OF_KEYS = "Keys: what is at risk"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self, hazard: Hazard) -> None:
        super().__init__()
        self.hazard = hazard
        self.lots: tuple[Exposed, ...] = ()
        self.done: frozenset[str] = frozenset()

    def make_list(self) -> ExposedList:
        return ExposedList()

    @property
    def board(self) -> ExposedList:
        return cast(ExposedList, self.list)

    def derive(self) -> None:
        nursery, today = self.app.house.nursery, self.app.today
        self.lots = threatened(nursery, self.hazard, today)
        self.done = seen_to(nursery, self.hazard.kind, today)
        self.draw()

    def draw(self) -> None:
        self.board.put(exposed_rows(self.lots, self.done, self.app.house.farm.units, self.words))
        self.show_head()
        self.show_foot()

    def head(self) -> tuple[Ends, Ends]:
        farm, places = self.app.house.farm, self.places
        seen = f"{len(places & self.done)} of {len(places)} places seen to" if places else ""
        order = "soonest lost first" if self.hazard.celsius is None else "tenderest first"
        return (title_of(self.hazard, farm.units), f"{self.app.today:%a} {dated(self.app.today)}"), (order, seen)

    @property
    def places(self) -> frozenset[str]:
        """The places where something is threatened."""
        return frozenset(each.place for each in self.lots)

    def facts(self) -> Text:
        row = self.board.row
        if row is None:
            return Text("Nothing here is at risk.")
        here, units = row.lots[0], self.app.house.farm.units
        safe = "" if here.bears_c is None else f", {say_safe(here.bears_c, units)}"
        count = f"up to {here.count}" if here.at_most else f"{here.count}"
        title = " · ".join(filter(None, (f"{here.plant} {here.lot}".rstrip(), count, here.form, here.place)))
        parts = {
            "do": [here.do],
            "when": [f"{STAGES.get(here.stage, here.stage)}{safe}"],
            CARE: [CAUTION] if self.hazard.kind == FROST else [],
            "note": [_said(here.source)] if here.source else [],
        }
        return in_parts(title, parts)

    def signs(self) -> str:
        return "✓ seen to"

    def hint(self) -> str:
        return HINT if self.board.row is not None else "f another low or high  w wind  p power cut  Esc week"

    def lot_here(self) -> str:
        row = self.board.row
        return "" if row is None or row.lots[0].lot == row.place else row.lots[0].lot

    def action_done(self) -> None:
        from tui.screens.tonight.recording import done

        row = self.board.row
        if row is None:
            self.tell("nothing here is at risk")
            return
        done(self, self.hazard, row.place, self.places, row.done)
        following = next((each for each in self.board.rows if not each.head and not each.done), None)
        if not row.done and following is not None:  # the work goes on at the next place
            self.board.go_to(following.key)

    def action_ask(self) -> None:
        from tui.screens.tonight.recording import ask_hazard

        ask_hazard(self.app, self._take, self.hazard)

    def action_coming(self, kind: str) -> None:
        self._take(Hazard(kind))

    def _take(self, hazard: Hazard) -> None:
        self.hazard, self.said = hazard, ""
        self.derive()
        self.share()

    async def action_clear_find(self) -> None:  # type: ignore[override]
        if self.words:
            super().action_clear_find()
        else:
            await self.app.run_action("go('week')")


@cache
def _said(source: str) -> str:
    """Where a figure comes from, its key in the list of sources written out: `Knapp, M. 2018: below 28 F …`."""
    from engine.protocols.library import read_sources

    known = read_sources()
    named = {key: f"{each.get('author', key)} {each.get('year', '')}".rstrip() for key, each in known.items()}
    key = next((key for key in named if source.startswith((f"{key}:", f"{key} p."))), None)
    return source if key is None else named[key] + source.removeprefix(key)
