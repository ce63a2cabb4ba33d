"""What a count means, from the keys: seed sown is no seedling; what was counted alive is learned, once."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from engine.needs.allotment import StockLine
from engine.needs.coverage import coverage
from engine.records.rates import results_of
from engine.schedule.plan import Day
from tests.engine.needs.homes import CUTTINGS, PLACES, SEED, batch, need
from tests.engine.schedule.farms import NORTH
from tests.tui.farms import tell
from tests.tui.shed import Shed, opened

SOWN, LIFTED = date(2027, 4, 10), date(2027, 11, 10)
SOW, LIFT = "act H sow frame", "act H lift frame"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """302 seeds in the cold since December; 140 trees are wanted."""
    path = tmp_path / "hollow.toml"
    text = NORTH + PLACES + CUTTINGS + SEED + batch("H", 302, "2026-12-20", "seed") + need("N", 140)
    path.write_text(text, encoding="utf-8")
    tell(path, "done", date(2026, 12, 20), batch="H", step="stratify cold", count=302)
    return path


def standing(shed: Shed) -> tuple[StockLine, int, float]:
    """The lot's line in the stock, how many the need lacks, and the chance that it is met whole."""
    found = coverage(Day(shed.app.house.nursery, shed.app.plans(), shed.app.today))
    (line,) = found.stock.lines
    return line, found.needs[0].short, found.needs[0].chance


async def test_302_sown_are_302_going_and_nothing_is_surer_and_170_lifted_are_the_share(home: Path):
    async with opened(home, SOWN) as shed:
        before, short, chance = standing(shed)
        await shed.go(SOW)
        await shed.press("d", "enter", "enter", "enter", "enter")  # as a hand does that takes what stands there
        assert [dict(e.data)["count"] for e in shed.entries()] == [302]
        after, short_now, chance_now = standing(shed)
        assert (after.going, after.on_hand, after.free, before.going) == (302, 0, 0, 0)
        assert before.coming is not None
        assert after.coming is not None
        assert (after.coming.likely, after.coming.sure()) == (before.coming.likely, before.coming.sure())
        assert after.coming.likely == pytest.approx(151 * 0.95, abs=6)  # half by the book, less what the frame may lose
        assert (short_now, chance_now) == (short, pytest.approx(chance, abs=1e-9))
        assert short > 0
        assert results_of(shed.app.house.records) == {}
    async with opened(home, LIFTED) as shed:
        await shed.go(LIFT)
        await shed.press("d", *"170", "ctrl+s")
        assert shed.entries()[-1].data["count"] == 170
        ((_, into, came),) = results_of(shed.app.house.records).values()
        assert (into, came) == (302, 170)
        line, short, _ = standing(shed)
        assert (line.on_hand, line.going, line.coming) == (170, 0, None)
        assert short == 0
