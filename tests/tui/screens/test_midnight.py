"""The one test in which the clock itself is stopped: the door gives the day, and midnight brings the new one."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import freezegun

from tests.tui.conftest import Call
from tests.tui.farms import tell
from tests.tui.screens.week.board import SOAK
from tests.tui.shed import opened


async def test_at_midnight_the_board_moves_to_the_new_day(tiny: Path, call: Call):
    tell(tiny, "note", date(2027, 1, 20), batch="Z1", text="looks well")
    with freezegun.freeze_time("2027-01-24 23:58:00", real_asyncio=True, ignore=["textual"]) as clock:
        assert "18 Jan" in call("week", tiny)[1].splitlines()[0]
        async with opened(tiny, on=None) as shed:
            assert shed.screen.week is not None
            assert (shed.app.today, shed.screen.week.start) == (date(2027, 1, 24), date(2027, 1, 18))
            clock.move_to("2027-01-25 00:02:00")
            await shed.until(lambda: shed.screen.week and shed.screen.week.today == date(2027, 1, 25), "the new day")
            assert (shed.screen.week.today, shed.screen.week.start) == (date(2027, 1, 25), date(2027, 1, 25))
            assert "25 Jan" in shed.text
            await shed.go(SOAK)
            await shed.do("done")
            await shed.save()
            [entry] = shed.entries()
            assert (entry.on, entry.at[:10]) == (date(2027, 1, 25), "2027-01-25")
