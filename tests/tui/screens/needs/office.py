"""The needs screen as its tests find their way on it, and the farm that they open."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from textual.widgets import Input, Static

from tests.engine.needs.homes import CUTTINGS, PLACES, SEED, batch, need, stock
from tests.engine.schedule.farms import NORTH
from tests.tui.shed import Shed
from tui.facts import Facts
from tui.forms.page import PageScreen
from tui.screens.needs.rows import NeedList
from tui.screens.needs.screen import NeedsScreen
from tui.screens.needs.shortfall import PlanList, PlanScreen

TODAY = date(2027, 1, 10)
HEDGE = """
[[planting]]
name = "hedge"
by = 2029-11-20
[[planting.position]]
species = "Arbor ficta"
count = 12
spacing_m = 2
understudies = ["Corylus avellana"]
"""
FARM = (
    NORTH, PLACES, CUTTINGS, SEED, stock("S1", 30, "liner"), batch("B"),
    need("HAND", 30, by="2027-03-01", form="liner", more='who = "Ash"\n'),
    need("COME", 60, by="2027-12-31", more='who = "Hale"\n'),
    need("POTS", 50, by="2027-02-15", form="pot", more='who = "Ash"\n'),
    need("BIG", 400, by="2028-12-31", more='who = "Hale"\n'),
    HEDGE,
)  # fmt: skip
WITH_MISSED = (*FARM, batch("OLD", 90, start="2026-02-01"))


def write(folder: Path, *parts: str) -> Path:
    path = folder / "farm.toml"
    path.write_text("".join(parts), encoding="utf-8")
    return path


class Office:
    """The needs, open in front."""

    def __init__(self, shed: Shed) -> None:
        self.shed = shed

    @property
    def screen(self) -> NeedsScreen:
        return next(s for s in self.shed.app.screen_stack if isinstance(s, NeedsScreen))

    @property
    def list(self) -> NeedList:
        return self.screen.need_list

    @property
    def states(self) -> dict[str, str]:
        return {row.line.need.id: row.state for row in self.list.rows if row.line}

    @property
    def groups(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for row in self.list.rows:
            if row.line is None and row.trouble is None:
                name = row.title.partition(" · ")[0]
                found[name] = []
            elif row.line:
                found[name].append(row.line.need.id)
        return found

    @property
    def here(self) -> str:
        """The key of the line under the cursor."""
        return self.list.row.key if self.list.row else ""

    @property
    def foot(self) -> str:
        return str(self.screen.query_one("#foot", Static).render())

    @property
    def head(self) -> str:
        return str(self.screen.query_one("#head", Static).render())

    @property
    def facts(self) -> str:
        return self.screen.query_one(Facts).told

    def painted(self, key: str, width: int = 79) -> str:
        return next(self.list.text(row, width) for row in self.list.rows if row.key == key)

    async def go(self, key: str) -> None:
        self.list._move(next(n for n, row in enumerate(self.list.rows) if row.key == key))
        await self.shed.pilot.pause()

    async def settle(self) -> None:
        """Until all is worked out."""
        await self.shed.pilot.pause()
        await self.shed.app.workers.wait_for_complete()
        await self.shed.pilot.pause()

    async def press(self, *keys: str) -> None:
        await self.shed.press(*keys)

    async def plan(self, key: str) -> PlanList:
        """The ways, open for a need."""
        await self.go(key)
        await self.press("p")
        await self.settle()
        return self.shed.on_top(PlanScreen).list

    def page(self) -> str:
        return self.shed.on_top(PageScreen).text.plain

    async def fill(self, **values: str) -> None:
        for name, value in values.items():
            self.shed.app.screen.query_one(f"#{name}", Input).value = value
        await self.shed.pilot.pause()


async def to_office(shed: Shed) -> Office:
    await shed.press("5")
    shed.on_top(NeedsScreen)
    office = Office(shed)
    await office.settle()
    return office
