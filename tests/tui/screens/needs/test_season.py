"""The year's plan on the screen: worked out beside it, and each way accepted or refused by itself."""

from __future__ import annotations

from pathlib import Path

from tests.tui.screens.needs.office import FARM, TODAY, write
from tests.tui.shed import opened
from tui.screens.needs.season import ACCEPTED, REFUSED, SeasonScreen


async def test_each_way_is_accepted_or_refused_by_itself(tmp_path: Path):
    async with opened(write(tmp_path, *FARM), TODAY) as shed:
        await shed.press("5")
        await shed.worked_out()
        await shed.press("y")
        screen = shed.on_top(SeasonScreen)
        await shed.until(lambda: screen.found is not None, "the plan")
        assert screen.found is not None
        ways = len(screen.found.ways)
        assert ways >= 2
        assert f"{ways} needs met" in shed.text
        first, second = (row.key for row in screen.rows[:2])
        await shed.press("a")
        assert [row.state for row in screen.rows[:2]] == [ACCEPTED, ""]
        assert {e.kind for e in shed.entries()} == {"batch"}
        assert {e.data["note"].split(",")[0] for e in shed.entries()} == {f"for {first}"}
        await shed.press("x")
        assert screen.rows[1].state == REFUSED
        assert screen.rows[1].key == second
        written = len(shed.entries())
        await shed.press("A")
        notes = {e.data["note"].split(",")[0] for e in shed.entries()[written:]}
        assert f"for {second}" not in notes
        assert len(notes) == ways - 2
        await shed.press("escape", "u")
        assert shed.app.faults == []
