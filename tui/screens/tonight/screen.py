"""What a frosty night, a heat day, a gale or a power cut threatens: by place, the tenderest first, one key a place."""

from __future__ import annotations

from functools import cache
from typing import ClassVar, cast

from rich.text import Text
from textual.binding import BindingType

from engine.reading.units import say_degrees
from engine.views.tonight import FROST, Exposed, Hazard, seen_to, threatened
from tui.cells import dated
from tui.paper.tonight import CAUTION, title_of
from tui.screen import Ends, FarmScreen
from tui.screens.tonight.keys import HINT, KEYS
from tui.screens.tonight.rows import ExposedList, exposed_rows


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
        return (title_of(self.hazard, farm.units), dated(self.app.today)), (order, seen)

    @property
    def places(self) -> frozenset[str]:
        """The places where something is threatened."""
        return frozenset(each.place for each in self.lots)

    def facts(self) -> Text:
        row = self.board.row
        if row is None:
            return Text("Nothing here is at risk.")
        here, units = row.lots[0], self.app.house.farm.units
        text = Text(f"{here.plant} {here.lot} · {here.count} · {here.form}", style="bold")
        told = [here.do]
        if here.bears_c is not None:
            told.append(f"{here.stage}: bears {say_degrees(here.bears_c, units)}")
        told += [_said(here.source), *([CAUTION] if self.hazard.kind == FROST else [])]
        text.append("\n" + "\n".join(told), style="not bold")
        return text

    def hint(self) -> str:
        return HINT if self.board.row is not None else "f another low or high  w wind  p power cut  escape week"

    def lot_here(self) -> str:
        row = self.board.row
        return "" if row is None or row.lots[0].lot == row.place else row.lots[0].lot

    def action_done(self) -> None:
        from tui.screens.tonight.recording import done

        row = self.board.row
        if row is None:
            self.tell("nothing here is threatened")
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
